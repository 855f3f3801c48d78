"""The templates that ship: they are whole, agree with each other, and can be lifted in the gyms they describe."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise, product
from pathlib import Path

import pytest

from floor.core.definitions import DOCUMENTS, parse_gym
from floor.core.gym import Gym, Lift, Plate, Severity
from floor.core.units import convert
from floor.templates import TemplatesMissing, data_folder, templates


def gym_of(texts: dict[str, str]) -> Gym:
    parsed = parse_gym(texts, {}, "kg")
    assert isinstance(parsed, Gym), parsed.sentences()
    return parsed


@pytest.fixture(params=[False, True], ids=["template", "demo"])
def shipped(request: pytest.FixtureRequest) -> Gym:
    return gym_of(templates(demo=request.param))


def test_every_shipped_document_says_on_top_how_to_edit_it() -> None:
    for demo, name in product((False, True), DOCUMENTS):
        head = templates(demo)[name].splitlines()[:3]
        assert all(line.startswith("#") for line in head), name


def test_the_shipped_lifts_are_the_five(shipped: Gym) -> None:
    assert {lift.id: (lift.name, lift.needs) for lift in shipped.lifts.values()} == {
        "squat": ("squat", "rack"),
        "press": ("press", "rack"),
        "bench": ("bench press", "bench"),
        "deadlift": ("deadlift", "floor"),
        "clean": ("power clean", "floor"),
    }
    assert [lift.id for lift in shipped.lifts.values() if lift.from_floor] == ["deadlift", "clean"]


def test_no_letter_marks_two_faults_of_a_lift_and_the_lists_fit_a_screen(shipped: Gym) -> None:
    for lift in shipped.lifts.values():
        letters = [fault.letter for fault in lift.faults]
        assert len(set(letters)) == len(letters)
        assert 6 <= len(lift.faults) <= 9


def test_the_letter_that_ends_a_lift_ends_every_lift_and_marks_nothing_else(shipped: Gym) -> None:
    faults = [fault for lift in shipped.lifts.values() for fault in lift.faults]
    assert {fault.letter for fault in faults if fault.severity is Severity.END} == {"x"}
    assert all(fault.severity is Severity.END for fault in faults if fault.letter == "x")


def test_the_power_clean_knows_arms_bent_early(shipped: Gym) -> None:
    assert "arms bent early" in [fault.name for fault in shipped.lifts["clean"].faults]


def test_every_severity_is_used_and_every_lift_has_a_fault_that_ends_it(shipped: Gym) -> None:
    assert {fault.severity for lift in shipped.lifts.values() for fault in lift.faults} == set(Severity)
    for lift in shipped.lifts.values():
        assert Severity.END in {fault.severity for fault in lift.faults}


def test_a_fault_of_one_name_has_one_id_in_every_lift(shipped: Gym) -> None:
    pairs = {(fault.id, fault.name) for lift in shipped.lifts.values() for fault in lift.faults}
    assert len(pairs) == len({fault_id for fault_id, _ in pairs}) == len({name for _, name in pairs})


def test_the_clean_is_taught_from_the_top_and_the_rest_in_fewer_stages(shipped: Gym) -> None:
    assert [stage.name for stage in shipped.lifts["clean"].stages] == [
        "rack, hang, and back down", "front rack check", "jump with long arms", "jump and rack",
        "catch with a front squat", "from below the knee", "flat-back deadlift", "loaded-bar height, slow",
        "from the floor", "from the floor, faster", "add load",
    ]  # fmt: skip
    assert all(3 <= len(lift.stages) <= 4 for lift in shipped.lifts.values() if lift.id != "clean")


def test_every_stage_but_the_last_says_what_to_show_in_numbers_and_the_loads_never_fall(shipped: Gym) -> None:
    for lift in shipped.lifts.values():
        for stage, after in pairwise(lift.stages):
            assert 3 <= stage.clean_reps <= 10 and 1 <= stage.over_sets <= 3 and stage.faults, (lift.id, stage.no)
            assert after.most is None or (stage.most is not None and stage.most <= after.most), (lift.id, stage.no)
        assert not lift.stages[-1].clean_reps


def test_a_fault_sends_back_to_a_stage_that_works_on_it(shipped: Gym) -> None:
    for lift in shipped.lifts.values():
        for stage in lift.stages:
            for fault, to in stage.back or ():
                assert fault in lift.stages[to - 1].faults and to < stage.no, (lift.id, stage.no, fault)


def test_every_fault_is_in_a_phase_and_the_phases_are_in_order(shipped: Gym) -> None:
    clean = shipped.lifts["clean"]
    assert clean.phases == ("start", "first pull", "second pull", "catch")
    for lift in shipped.lifts.values():
        assert {fault.phase for fault in lift.faults} == set(lift.phases)


def test_every_programme_can_be_done_somewhere_in_the_gym(shipped: Gym) -> None:
    for programme in shipped.programmes.values():
        for entry in (entry for day in programme.days for entry in day):
            needs = shipped.lifts[entry.lift].needs
            assert any(needs in station.stands for station in shipped.stations), (programme.id, entry.lift)


def test_the_first_weeks_do_every_lift_and_light_days_are_never_heavier(shipped: Gym) -> None:
    for name in ("week3", "week2"):
        done = {entry.lift for day in shipped.programmes[name].days for entry in day}
        assert done == set(shipped.lifts)
    entries = [e for p in shipped.programmes.values() for day in p.days for e in day]
    assert max(e.percent for e in entries) == 100 and min(e.percent for e in entries) < 100


def test_a_returning_lifter_does_fewer_sets_than_a_beginner(shipped: Gym) -> None:
    def sets(name: str) -> float:
        days = shipped.programmes[name].days
        return sum(entry.sets for day in days for entry in day) / len(days)

    assert sets("back") < sets("week3")


def per_side(gym: Gym) -> set[int]:
    """Every mass one sleeve of one bar can carry with the gym's whole stock, by plain addition."""
    sums = {0}
    for plate in gym.plates:
        sums = {mass + n * plate.mass for mass in sums for n in range(plate.pairs + 1)}
    return sums


def without_one_pair(gym: Gym, plate: Plate) -> Gym:
    plates = tuple(replace(p, pairs=p.pairs - 1) if p == plate else p for p in gym.plates)
    return replace(gym, plates=plates)


def ladder(lift: Lift, heaviest: int) -> set[int]:
    return set(range(lift.start, heaviest + 1, lift.step)) | {load for load in lift.ramp if load <= heaviest}


def test_every_step_up_to_120_kg_and_every_ramp_load_can_be_built(shipped: Gym) -> None:
    bar, sides = shipped.bar("20"), per_side(shipped)
    for lift in shipped.lifts.values():
        for load in ladder(lift, 120_00):
            a_side, odd = divmod(load - bar.mass - 2 * shipped.collar, 2)
            assert odd == 0 and a_side in sides, (lift.id, load)


def test_a_pull_starts_and_ramps_with_a_full_size_disc_each_side(shipped: Gym) -> None:
    full = [plate for plate in shipped.plates if plate.full_size and plate.pairs]
    for lift in (lift for lift in shipped.lifts.values() if lift.from_floor):
        for load in (lift.start, *lift.ramp):
            a_side = (load - shipped.bar("20").mass) // 2
            assert any(a_side - disc.mass in per_side(without_one_pair(shipped, disc)) for disc in full), (
                lift.id,
                load,
            )


def test_only_full_size_discs_of_ten_and_more_may_be_dropped(shipped: Gym) -> None:
    for plate in shipped.plates:
        assert plate.droppable == (plate.full_size and plate.mass >= 1000), plate.id


def test_the_demo_gym_has_three_platforms() -> None:
    demo = gym_of(templates(demo=True))
    assert [(s.id, s.name, sorted(s.stands)) for s in demo.stations] == [
        (1, "Platform 1", ["floor", "rack"]),
        (2, "Platform 2", ["floor", "rack"]),
        (3, "Platform 3", ["bench", "floor", "rack"]),
    ]


def test_the_templates_in_the_package_come_before_those_beside_it(tmp_path: Path) -> None:
    package = tmp_path / "floor"
    package.mkdir()
    with pytest.raises(TemplatesMissing, match="Install floor again"):
        data_folder(package)
    texts = {name: f"# {name}" for name in DOCUMENTS}
    for folder in (tmp_path / "data", package / "data"):
        folder.mkdir()
        for name, text in texts.items():
            (folder / f"{name}.toml").write_text(text, encoding="utf-8")
        assert data_folder(package) == folder
    assert templates(demo=True, folder=package / "data") == texts


# --- a gym in pounds


@pytest.fixture
def pounds() -> Gym:
    parsed = parse_gym(templates(unit="lb"), {}, "lb")
    assert isinstance(parsed, Gym), parsed.sentences()
    return parsed


def test_a_gym_in_pounds_teaches_the_same_lifts_with_loads_of_its_own(pounds: Gym) -> None:
    def apart_from_loads(lift: Lift) -> Lift:
        stages = tuple(replace(s, most=None) for s in lift.stages)
        return replace(lift, step=0, start=0, ramp=(), stages=stages)

    kilos = gym_of(templates())
    assert {k: apart_from_loads(v) for k, v in pounds.lifts.items()} == {
        k: apart_from_loads(v) for k, v in kilos.lifts.items()
    }
    assert pounds.programmes == kilos.programmes and pounds.settings == kilos.settings
    limits = [(s.no, s.most is None) for lift in kilos.lifts.values() for s in lift.stages]
    assert [(s.no, s.most is None) for lift in pounds.lifts.values() for s in lift.stages] == limits


def test_every_load_a_pound_gym_starts_with_can_be_built_and_pulled_from_the_floor(pounds: Gym) -> None:
    bar, sides = pounds.bar("45"), per_side(pounds)
    full = [plate for plate in pounds.plates if plate.full_size]
    for lift in pounds.lifts.values():
        for load in ladder(lift, 265_00) | set(lift.ramp):
            assert (load - bar.mass) % 2 == 0 and (load - bar.mass) // 2 in sides, (lift.id, load)
        for load in (lift.start, *lift.ramp) if lift.from_floor else ():
            a_side = (load - bar.mass) // 2
            assert any(a_side - disc.mass in per_side(without_one_pair(pounds, disc)) for disc in full), (lift.id, load)


def test_a_pound_gyms_first_loads_are_no_heavier_than_a_kilo_gyms_by_more_than_a_step(pounds: Gym) -> None:
    """In kg, to the pound (computed): a lifter starts as light, and a stage lets on as little."""
    kilos = gym_of(templates())
    for lift in pounds.lifts.values():
        other = kilos.lifts[lift.id]
        assert convert(lift.start, "lb", "kg") <= other.start + convert(lift.step, "lb", "kg") + 100, lift.id
        for stage, its in zip(lift.stages, other.stages, strict=True):
            if stage.most is not None and its.most is not None:
                assert convert(stage.most, "lb", "kg") <= its.most + convert(lift.step, "lb", "kg") + 100


def test_there_are_no_templates_in_stones_and_no_demo_in_pounds() -> None:
    for demo, unit in ((False, "st"), (True, "lb")):
        with pytest.raises(ValueError, match="templates in"):
            templates(demo=demo, unit=unit)
