"""An evening described in a file: what it may say, and the line that is named when it is wrong."""

from __future__ import annotations

import pytest

from floor.core.planner import Evening
from floor.located_json import BadFile, Number, parse
from floor.plan_file import read_evening

GOOD = """{
  "walk": 10,
  "closing": 3600,
  "handling": {"plate": 5},
  "stations": [{"name": "left", "free": 30, "stack": "20: 25", "told": ["Bo"]}, {"name": "right"}],
  "lifters": [
    {"name": "Ada", "comes": 60, "sets": [
      {"seconds": 30, "rest": 60, "stack": "20:", "load": 20, "ramp": true, "stations": ["right"]},
      {"seconds": 45, "rest": 180, "longest": 240, "stack": "20: 25 2.5", "load": 75.5, "times": 3, "eyes": 2}
    ]},
    {"name": "Bo", "sets": [{"seconds": 40, "rest": 90, "stack": "15: 10"}]}
  ]
}"""


def test_everything_a_file_says_is_in_the_evening() -> None:
    evening = read_evening(GOOD)
    ada, bo = evening.chains
    assert (evening.walk, evening.closing, ada.ready, len(ada.sets), len(bo.sets)) == (10, 3600, 60, 4, 1)
    ramp, work = ada.sets[0], ada.sets[3]
    assert (ramp.work, ramp.load, ramp.stations, ramp.longest) == (False, 2000, (1,), 120)
    assert (work.work, work.load, work.stations, work.longest, work.eyes) == (True, 7550, (0, 1), 240, 2)
    left, right = evening.places
    assert (left.name, left.free, left.told, right.rig) == ("left", 30, (1,), None)
    assert left.rig is not None and evening.change[left.rig][work.rig] == 5
    assert evening.moved[left.rig][work.rig] == 2


def test_set_ups_can_be_given_without_plates() -> None:
    evening = read_evening(
        '{"set_ups": {"A": {"A": 0, "B": 20}, "B": {"A": 30, "B": 0}},'
        '"lifters": [{"name": "x", "sets": [{"seconds": 9, "rest": 0, "set_up": "B"}]}]}'
    )
    assert (evening.change, evening.chains[0].sets[0].rig) == (((0, 20), (30, 0)), 1)


def test_two_stations_share_the_plates_the_file_names() -> None:
    evening = read_evening(
        '{"plates": {"25": 1}, "bars": {"15": 1}, "stations": [{"name": "left"}, {"name": "right"}], "lifters": ['
        '{"name": "x", "leaves": 900, "sets": [{"seconds": 9, "rest": 0, "stack": "20: 25"}]},'
        '{"name": "y", "sets": [{"seconds": 9, "rest": 0, "stack": "20: 25 5"},'
        ' {"seconds": 9, "rest": 0, "stack": "15:"}]}]}'
    )
    assert [chain.leaves for chain in evening.chains] == [900, None]
    assert evening.clash == ((1, 1, 0), (1, 1, 0), (0, 0, 1))


NAMED = """{"set_ups": {"A": {"A": 0, "B": 20}, "B": {"A": 30, "B": 0}},
"clashes": [["A", "B"]],
"lifters": [{"name": "x", "sets": [{"seconds": 9, "rest": 0, "set_up": "B"}]}]}"""


def test_clashes_are_between_named_set_ups() -> None:
    assert read_evening(NAMED).clash == ((0, 1), (1, 0))


@pytest.mark.parametrize(
    ("old", "new", "reason"),
    [
        ('["A", "B"]', '["A", "C"]', "there is no set-up 'C'."),
        ('["A", "B"]', '["A"]', "a clash is between two set_ups."),
        ('["A", "B"]', "7", "a list of two set_ups should stand here."),
        ('"clashes": [["A", "B"]]', '"plates": {"25": 1}', "the file has set_ups, so give clashes and no plates."),
    ],
)
def test_a_bad_clash_is_named_with_its_line(old: str, new: str, reason: str) -> None:
    with pytest.raises(BadFile) as caught:
        read_evening(NAMED.replace(old, new, 1))
    assert (caught.value.line, caught.value.reason) == (2, reason)


def bad(old: str, new: str) -> BadFile:
    assert old in GOOD
    with pytest.raises(BadFile) as caught:
        read_evening(GOOD.replace(old, new, 1))
    return caught.value


@pytest.mark.parametrize(
    ("old", "new", "line", "reason"),
    [
        ('"walk": 10,', '"walk": 10', 3, "a comma or }"),
        ('"walk": 10', '"walk": -1', 2, "walk should be a whole number"),
        ('"walk": 10', '"plates": {}', 2, "plates should be an object of names"),
        ('"walk": 10', '"plates": {"25": -1}', 2, "how many 25 should be a whole number"),
        ('"walk": 10', '"clashes": [["A", "B"]]', 2, "clashes are between set_ups"),
        ('"comes": 60', '"leaves": "soon"', 7, "leaves should be a whole number"),
        ('"walk": 10', '"walk": true', 2, "walk should be a whole number"),
        ('"closing": 3600', '"closing": 99999999999', 3, "closing should be from 0 to 86400"),
        ('"closing": 3600', '"walk": 3', 3, "'walk' is there twice"),
        ('"closing"', '"ending"', 3, "'ending' is not known here"),
        ('"told": ["Bo"]', '"told": ["Cy"]', 5, "there is no lifter 'Cy'"),
        ('{"name": "right"}', '{"name": "left"}', 5, "two stations named 'left'"),
        ('["right"]', '["middle"]', 8, "there is no station 'middle'"),
        ('"load": 20', '"load": "heavy"', 8, "load should be a number"),
        ('"seconds": 30', '"seconds": 0', 8, "seconds should be from 1"),
        ('"longest": 240', '"longest": 100', 9, "longest is shorter than the rest of 180 s"),
        ('"times": 3', '"times": 601', 9, "more than 600 sets"),
        ('"ramp": true', '"ramp": "yes"', 8, "ramp should be true or false"),
        ('"name": "Bo"', '"name": "Ada"', 11, "two lifters named 'Ada'"),
        ('"name": "Bo"', '"name": "B\\u001bo"', 11, "cannot be printed"),
        (', "stack": "15: 10"', "", 11, "'stack' is missing"),
        ('"seconds": 40, ', "", 11, "'seconds' is missing"),
        ('"stack": "15: 10"', '"set_up": "A"', 11, "set_up needs a table"),
        ('"stack": "15: 10"}]}', '"stack": "15: 10"}]', 12, "a comma or }"),
    ],
)
def test_a_bad_file_is_refused_with_its_line_and_the_reason(old: str, new: str, line: int, reason: str) -> None:
    error = bad(old, new)
    assert error.line == line
    assert reason in error.reason


@pytest.mark.parametrize("text", ["", "{", "[1, 2", '{"lifters": []}', "3", '{"a" 1}', '"open', "[" * 5000, "{} {}"])
def test_no_text_is_too_broken_to_be_refused(text: str) -> None:
    with pytest.raises(BadFile):
        read_evening(text)


def test_numbers_are_kept_as_they_are_written() -> None:
    assert parse("62.50").value == Number("62.50")


def test_a_plain_evening_needs_little() -> None:
    evening = read_evening('{"lifters": [{"name": "x", "sets": [{"seconds": 9, "rest": 30, "times": 2}]}]}')
    assert isinstance(evening, Evening) and len(evening.chains[0].sets) == 2
