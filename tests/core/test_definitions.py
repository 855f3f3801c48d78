"""What a coach may write in a gym's documents, and what is said about the rest."""

from __future__ import annotations

from decimal import Decimal

import pytest

from floor.core.definitions import Problems, parse_gym
from floor.core.gym import Gym, Severity
from floor.core.toml_reader import hundredths

EQUIPMENT = """
unit = "kg"
[[bar]]
id = "20"
name = "20 kg bar"
mass = 20
sleeve = 415
count = 2
[[plate]]
id = "1.25"
mass = 1.25
pairs = 2
diameter = 160
thickness = 14
[[plate]]
id = "10"
mass = "10"
pairs = 2
diameter = 450
thickness = 35
droppable = true
[[station]]
id = 1
name = "Rack"
stands = ["rack", "floor"]
bar = "20"
[[station]]
id = 2
name = "Bench"
stands = ["bench"]
bar = "20"
"""
LIFTS = """
unit = "kg"
[[lift]]
id = "squat"
name = "squat"
needs = "rack"
from_floor = false
rest = 180
ramp_rest = 60
step = 2.5
start = 20
ramp = [20, 40, 60]
ramp_reps = 5
heights = ["rack", "safety"]
caution = "Safeties set."
faults = [
  { id = "knees-in", letter = "k", name = "knees in", phase = "way up", severity = "lighten", cue = "Knees out." },
  { id = "too-high", letter = "d", name = "too high", phase = "bottom", severity = "fix", cue = "Lower." },
]
[[lift.stages]]
no = 1
name = "no bar"
drill = "Squat."
leave = "Five good ones."
"""
GOOD = 'leave = "Five good ones."'
TWO = '[[lift.stages]]\nno = 2\nname = "bar"\ndrill = "Squat."\nleave = "Five."'
PROGRAMMES = """
[[programme]]
id = "week"
name = "A week"
[[programme.day]]
lifts = [{ lift = "squat", sets = 3, reps = 5 }, { lift = "squat", sets = 1, reps = 5, role = "build", percent = 80 }]
"""
SETTINGS = """
programme = "week"
cautions = ["Pain stops the lift."]
"""
TEXTS = {"equipment": EQUIPMENT, "lifts": LIFTS, "programmes": PROGRAMMES, "settings": SETTINGS}


def edited(document: str, old: str, new: str) -> list[str]:
    """The sentences said when `old` is replaced by `new` in one small document."""
    assert old in TEXTS[document]
    parsed = parse_gym({**TEXTS, document: TEXTS[document].replace(old, new, 1)}, {}, "kg")
    return list(parsed.sentences()) if isinstance(parsed, Problems) else []


def gym_of(texts: dict[str, str]) -> Gym:
    parsed = parse_gym(texts, {"lifts": 3}, "kg")
    assert isinstance(parsed, Gym), parsed.sentences()
    return parsed


# --- what is taken


def test_a_gym_is_read_exactly_in_hundredths() -> None:
    gym = gym_of(TEXTS)
    assert [(p.id, p.mass, p.full_size, p.droppable) for p in gym.plates] == [
        ("1.25", 125, False, False),
        ("10", 1000, True, True),
    ]
    assert gym.bar("20").mass == 2000
    assert gym.station(1).stands == {"rack", "floor"}
    squat = gym.lifts["squat"]
    assert (squat.step, squat.start, squat.ramp) == (250, 2000, (2000, 4000, 6000))
    fault = squat.fault_at("k")
    assert fault is not None and (fault.id, fault.severity) == ("knees-in", Severity.LIGHTEN)
    light = gym.programmes["week"].days[0][1]
    assert (light.role, light.percent) == ("build", 80)
    assert gym.settings.cautions == ("Pain stops the lift.",)
    assert gym.versions == {"lifts": 3}


@pytest.mark.parametrize(
    ("written", "mass"),
    [(20, 2000), (Decimal("1.25"), 125), ("1.25", 125), (Decimal("0.10"), 10), ("2.500", 250), (Decimal("1E+1"), 1000)],
)
def test_a_mass_is_taken_as_number_or_as_text(written: object, mass: int) -> None:
    assert hundredths(written) == mass


@pytest.mark.parametrize(
    "written",
    [
        Decimal("1.255"),
        Decimal("1.2500000000000000000000000000000000000000001"),
        Decimal("NaN"),
        Decimal("Infinity"),
        Decimal("1E+9999999"),
        Decimal("1E-9999999"),
        "1,25",
        "1_0",
        "",
        True,
        1.25,
        [20],
    ],
)
def test_a_mass_that_is_not_exact_is_refused_in_a_sentence(written: object) -> None:
    answer = hundredths(written)
    assert isinstance(answer, str) and answer.endswith(".")


def test_in_an_lb_gym_the_numbers_are_pounds() -> None:
    texts = {name: text.replace('unit = "kg"', 'unit = "lb"') for name, text in TEXTS.items()}
    gym = parse_gym(texts, {}, "lb")
    assert isinstance(gym, Gym)
    assert gym.unit == "lb" and gym.bar("20").mass == 2000


def test_documents_written_in_the_other_unit_are_refused() -> None:
    parsed = parse_gym(TEXTS, {}, "lb")
    assert isinstance(parsed, Problems)
    assert [(p.file, "written in kg" in p.sentence) for p in parsed.found] == [
        ("equipment.toml", True),
        ("lifts.toml", True),
    ]


def test_an_unknown_unit_is_named_once() -> None:
    (sentence,) = edited("equipment", 'unit = "kg"', 'unit = "stone"')
    assert "stone" in sentence and "kg, lb" in sentence


def test_a_document_saved_with_a_byte_order_mark_and_windows_lines_is_read() -> None:
    gym_of({name: "\ufeff" + text.replace("\n", "\r\n") for name, text in TEXTS.items()})


# --- what is said about the rest


@pytest.mark.parametrize(
    ("document", "old", "new", "said"),
    [
        ("equipment", 'id = "1.25"', 'id = "10"', ["plate 2 (10)", "two plates with the id 10"]),
        ("equipment", "mass = 1.25", "mass = -1.25", ["plate 1 (1.25)", "mass is negative"]),
        ("equipment", "mass = 20", "mass = 0", ["bar 1 (20)", "mass is zero"]),
        ("equipment", "mass = 20", "mass = 20000", ["more than any bar holds"]),
        ("equipment", "mass = 20", "mass = 20.125", ["20.125 has more than two decimals"]),
        ("equipment", "mass = 20", 'mass = "20,5"', ["with a point"]),
        ("equipment", "mass = 20\n", "", ["mass is missing", "Add a line"]),
        ("equipment", "pairs = 2", "pairs = -2", ["plate 1", "pairs: -2 is out of range"]),
        ("equipment", "diameter = 450", "diameter = 4500", ["diameter: 4500 is out of range"]),
        ("equipment", "droppable = true", 'droppable = "yes"', ["true or false"]),
        ("equipment", "droppable", "dropable", ["'dropable' means nothing here", "Did you mean droppable?"]),
        ("equipment", 'id = "10"', 'id = "ten kilos"', ["no spaces"]),
        ("equipment", 'bar = "20"', 'bar = "15"', ["station 1 (Rack)", 'no bar "15"']),
        ("equipment", 'stands = ["bench"]', "stands = []", ["station 2 (Bench)", "stands is empty"]),
        ("equipment", '["bench"]', '["sofa"]', ["floor, rack, bench"]),
        ("equipment", '["rack", "floor"]', '["rack", "rack"]', ["same thing twice"]),
        ("equipment", "id = 2", "id = 1", ["two stations with the id 1"]),
        ("equipment", 'name = "Bench"', 'name = "Rack"', ["two stations with the name Rack"]),
        ("equipment", "count = 2", "count = 1", ["2 stations want the bar 20 and there are 1"]),
        ("equipment", "unit", "collar = -1\nunit", ["collar is negative"]),
        ("lifts", 'letter = "d"', 'letter = "k"', ["lift 1 (squat), fault 2 (k)", "letter k (knees in, too high)"]),
        ("lifts", 'letter = "d"', 'letter = "D"', ["one lower-case letter"]),
        ("lifts", '"fix"', '"grave"', ['"grave" is not one of note, fix, lighten, end']),
        ("lifts", 'id = "too-high"', 'id = "knees-in"', ["two faults with the id knees-in"]),
        ("lifts", 'cue = "Lower."', f'cue = "{"x" * 41}"', ["cue is 41 characters long", "40"]),
        ("lifts", 'name = "too high"', f'name = "{"x" * 23}"', ["name is 23 characters long", "22"]),
        ("lifts", 'name = "no bar"', f'name = "{"x" * 29}"', ["name is 29 characters long", "28"]),
        ("lifts", 'name = "no bar"', 'name = "no \\u001b bar"', ["cannot be shown"]),
        ("lifts", "[20, 40, 60]", "[20, 60, 40]", ["ramp does not rise: 40 comes after 60"]),
        ("lifts", "[20, 40, 60]", "[20, 20]", ["ramp does not rise"]),
        ("lifts", "[20, 40, 60]", '[20, "x"]', ["ramp, load 2"]),
        ("lifts", "[20, 40, 60]", "[15, 40]", ["ramp: 15 is lighter than the lightest bar (20)"]),
        ("lifts", "step = 2.5", "step = 0", ["step is zero"]),
        ("lifts", "step = 2.5", "step = -2.5", ["step is negative"]),
        ("lifts", "start = 20", "start = 12.5", ["start: 12.5 is lighter than the lightest bar (20)"]),
        ("lifts", 'needs = "rack"', 'needs = "cage"', ['"cage" is not one of floor, rack, bench']),
        ("lifts", "rest = 180", "rest = 3.5", ["rest should be a whole number"]),
        ("lifts", "no = 1", "no = 2", ["stage 1 (2)", "Number them 1, 2, 3"]),
        ("lifts", 'caution = "Safeties set."', 'caution = " "', ["caution is blank"]),
        ("lifts", GOOD, f"{GOOD}\nclean_reps = 3\nover_sets = 4", ["stage 1", "3 clean_reps can't go over 4 sets"]),
        ("lifts", GOOD, f"{GOOD}\nclean_reps = 1\nevenings = 2", ["1 clean_reps can't go over 2 evenings"]),
        ("lifts", GOOD, f"{GOOD}\nclean_reps = 300", ["clean_reps: 300 is out of range. Use 0 to 100."]),
        ("lifts", GOOD, f'{GOOD}\nfaults = ["knees"]', ["faults should be a list of words from knees-in, too-high"]),
        ("lifts", GOOD, f"{GOOD}\nback = {{ knees-in = 1 }}", ["the first stage has none to go back to"]),
        ("lifts", GOOD, f"{GOOD}\n{TWO}\nback = {{ knees-in = 2 }}", ["stage 2", "whole number from 1 to 1"]),
        ("lifts", GOOD, f"{GOOD}\n{TWO}\nback = {{ knee-in = 1 }}", ["'knee-in' is not one", "mean knees-in?"]),
        ("lifts", GOOD, f"{GOOD}\n{TWO}\nback = 1", ["back should be a table"]),
        ("lifts", "ramp_reps = 5", 'ramp_reps = 5\nphases = ["bottom"]', ['phase "way up" of fault k is not among']),
        ("lifts", "ramp_reps = 5", 'ramp_reps = 5\nphases = ["a", "way up", "a", "bottom"]', ["same phase twice"]),
        ("lifts", "ramp_reps = 5", "ramp_reps = 5\nwalk = 1", ["walk should be true or false"]),
        ("programmes", 'lift = "squat"', 'lift = "curl"', ["day 1, line 1 (curl)", 'no lift "curl"']),
        ("programmes", 'role = "build"', 'role = "fun"', ["work, build"]),
        ("programmes", "percent = 80", "percent = 105", ["percent: 105 is out of range. Use 1 to 100."]),
        ("programmes", "sets = 3", "sets = 0", ["sets: 0 is out of range"]),
        ("settings", '"week"', '"month"', ['no programme "month"']),
        ("settings", "programme", "bell = 1\nprogramme", ["bell should be true or false"]),
        ("settings", '["Pain stops the lift."]', '["ok", ""]', ["cautions, line 2"]),
    ],
)
def test_each_slip_is_one_sentence_with_file_place_and_what_to_do(
    document: str, old: str, new: str, said: list[str]
) -> None:
    sentences = edited(document, old, new)
    assert len(sentences) == 1, sentences
    assert sentences[0].startswith(f"{document}.toml")
    for words in said:
        assert words in sentences[0]
    assert sentences[0].endswith((".", "?"))


def test_bad_toml_is_said_with_its_line() -> None:
    (sentence,) = edited("equipment", "mass = 20", "mass = = 20")
    assert sentence.startswith("equipment.toml, line 6: this is not TOML")


@pytest.mark.parametrize("text", ["a = [", "[" * 5000, "a = " + "9" * 5000, "a = 2026-99-99"])
def test_whatever_was_typed_there_is_an_answer_and_no_crash(text: str) -> None:
    assert isinstance(parse_gym({**TEXTS, "settings": text}, {}, "kg"), Problems)


@pytest.mark.parametrize("value", ["1", "-1", '""', "[]", "{}", "[[]]", "[{}]", "1e999999", "nan", "2026-11-25"])
def test_the_wrong_sort_of_value_at_any_key_is_an_answer_and_no_crash(value: str) -> None:
    tried = 0
    for document, text in TEXTS.items():
        lines = text.splitlines()
        for at, line in enumerate(lines):
            if " = " in line and not line.startswith(" ") and not line.endswith("["):
                changed = [*lines[:at], f"{line.split(' = ')[0]} = {value}", *lines[at + 1 :]]
                parsed = parse_gym({**TEXTS, document: "\n".join(changed)}, {}, "kg")
                assert isinstance(parsed, Gym) or all(s.endswith((".", "?")) for s in parsed.sentences())
                tried += 1
    assert tried > 30


def test_a_stage_says_in_numbers_what_to_show_and_where_its_faults_send_back() -> None:
    numbers = 'clean_reps = 5\nover_sets = 2\nevenings = 3\nfaults = ["too-high"]\nback = { knees-in = 1 }'
    text = LIFTS.replace(GOOD, f"{GOOD}\n{TWO}\n{numbers}").replace("ramp_reps = 5", "ramp_reps = 5\nwalk = true")
    parsed = parse_gym({**TEXTS, "lifts": text}, {}, "kg")
    assert isinstance(parsed, Gym)
    lift = parsed.lifts["squat"]
    stage = lift.stages[1]
    assert (stage.clean_reps, stage.over_sets, stage.faults, stage.back) == (5, 2, ("too-high",), (("knees-in", 1),))
    assert stage.evenings == 3 and lift.walk


def test_a_document_from_before_these_numbers_is_still_whole() -> None:
    parsed = parse_gym(TEXTS, {}, "kg")
    assert isinstance(parsed, Gym)
    lift = parsed.lifts["squat"]
    stage = lift.stages[0]
    assert (stage.clean_reps, stage.over_sets, stage.faults, stage.back, lift.walk) == (0, 1, (), None, False)
    assert stage.evenings == 1
    assert [lift.phase_rank(fault) for fault in lift.faults] == [0, 1]  # in the order the faults name them


def test_phases_put_the_faults_in_the_order_of_the_movement() -> None:
    text = LIFTS.replace("ramp_reps = 5", 'ramp_reps = 5\nphases = ["bottom", "way up"]')
    parsed = parse_gym({**TEXTS, "lifts": text}, {}, "kg")
    assert isinstance(parsed, Gym)
    assert [parsed.lifts["squat"].phase_rank(fault) for fault in parsed.lifts["squat"].faults] == [1, 0]


def test_all_slips_are_told_at_once_in_every_document() -> None:
    texts = {
        "equipment": EQUIPMENT.replace("mass = 1.25", "mass = -1").replace("id = 2", "id = 1"),
        "lifts": LIFTS.replace("step = 2.5", "step = 0").replace('"fix"', '"bad"'),
        "programmes": PROGRAMMES.replace("sets = 3", "sets = 99"),
        "settings": SETTINGS.replace("week", "month"),
    }
    parsed = parse_gym(texts, {}, "kg")
    assert isinstance(parsed, Problems)
    assert [p.file.removesuffix(".toml") for p in parsed.found] == [
        "equipment",
        "equipment",
        "lifts",
        "lifts",
        "programmes",
        "settings",
    ]


def test_a_lift_taken_out_is_reported_where_a_programme_still_names_it() -> None:
    sentences = edited("lifts", 'id = "squat"', 'id = "front-squat"')
    assert [s.split(":")[0] for s in sentences] == [
        "programmes.toml, programme 1 (week), day 1, line 1 (squat)",
        "programmes.toml, programme 1 (week), day 1, line 2 (squat)",
    ]


def test_lifts_that_cannot_be_read_are_not_held_against_the_programmes() -> None:
    (sentence,) = edited("lifts", "step = 2.5", "step 2.5")
    assert sentence.startswith("lifts.toml, line ")


def test_a_missing_document_and_an_unknown_one_are_both_named() -> None:
    texts = {name: text for name, text in TEXTS.items() if name != "settings"} | {"music": ""}
    parsed = parse_gym(texts, {}, "kg")
    assert isinstance(parsed, Problems)
    assert [p.file for p in parsed.found] == ["music.toml", "settings.toml"]
    assert isinstance(parse_gym({**TEXTS, "music": ""}, {}, "kg"), Problems)
    assert isinstance(parse_gym(TEXTS, {}, "stone"), Problems)
