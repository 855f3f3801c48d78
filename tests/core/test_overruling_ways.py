"""The ways to overrule a proposal: the load each gives is what it does, and what would ask or be refused is said."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.commands import (
    Arrive,
    ChangeLoad,
    ClearPain,
    Command,
    DrillFault,
    DrillRep,
    EndDrill,
    Leave,
    Overrule,
    ReportPain,
    StartDrill,
)  # fmt: skip
from floor.core.decide.overruling import Way, ways
from floor.core.gym import Grade
from tests.core.scenes import RACK, Scene, a_set, belongs, came, evening, kg, ready
from tests.core.test_tonights_rules import staged


def offered(scene: Scene, lift: str = "squat") -> dict[str, Way]:
    return {way.action: way for way in ways(scene.state, scene.state.evening.proposals[1, lift])}


def lowered() -> Scene:
    """A sharp set after which the coach went lighter all the same: nothing speaks against going back."""
    return evening(ready(squat=60)).given(a_set(grade=Grade.SHARP), Overrule(1, "squat", "lighten"))


def rough(load: float = 60) -> Scene:
    return evening(ready(squat=load)).given(a_set(faults="d", grade=Grade.ROUGH))


def test_a_step_more_the_same_and_a_tenth_less_from_the_set_just_done() -> None:
    assert list(offered(lowered()).values()) == [
        Way("add", kg(62.5), False), Way("keep", kg(60), False), Way("lighten", kg(54), False),
    ]


def test_after_a_ramp_set_a_step_more_or_less_is_counted_from_the_set_to_come() -> None:
    scene = evening(came(squat=80)).given(a_set())
    assert scene.coming(1).role == "ramp" and scene.coming(1).load == kg(40)
    assert list(offered(scene).values()) == [Way("add", kg(42.5), False), Way("lighten", kg(36), False)]


def test_on_the_way_back_up_a_step_more_is_more_than_the_rules_give() -> None:
    scene = evening(came(squat=60)).given(a_set(), a_set(grade=Grade.ROUGH), a_set())
    assert scene.state.evening.proposals[1, "squat"].load == kg(60)
    assert offered(scene)["add"].load == kg(62.5)


def test_what_keeps_the_load_already_is_not_offered_again() -> None:
    assert list(offered(rough())) == ["add", "lighten"]


@given(st.integers(25, 200), st.sampled_from(["sharp", "rough", "short", "broken"]), st.booleans())
def test_each_way_gives_the_load_it_says(load: int, went: str, lowered: bool) -> None:
    scene = evening(ready(squat=load))
    if lowered:
        scene = scene.given(ChangeLoad(1, kg(max(20, load // 2))), every=1) if load >= 45 else scene
    sets = {
        "sharp": a_set(grade=Grade.SHARP), "rough": a_set(faults="d", grade=Grade.ROUGH),
        "short": a_set(made=3, missed=2), "broken": a_set(made=4, grade=Grade.BROKEN),
    }
    scene = scene.given(sets[went])
    found = offered(scene)
    for action in ("add", "keep", "lighten"):
        free, sure = (scene.when(Overrule(1, "squat", action, sure=sure)) for sure in (False, True))
        way = found.get(action)
        if way is None:
            assert sure.refusal is not None
            continue
        assert (free.refusal is not None) == way.asks
        assert sure.event("proposal_overruled").load == sure.coming(1).load == way.load


def test_a_load_that_jumps_is_marked_as_asked_about() -> None:
    wide = evening(ready(squat=24)).given(a_set(made=3, missed=2))
    assert offered(wide)["add"] == Way("add", kg(26.5), True), "26.5 is over a tenth more than any load of tonight"
    assert not offered(wide)["lighten"].asks


@pytest.mark.parametrize(
    ("went", "why"),
    [
        (a_set(made=4, missed=1, grade=Grade.SHARP), "the last set was short of reps"),
        (a_set(grade=Grade.ROUGH), "the last set was rough"),
        (a_set(faults="d", grade=Grade.SHARP), "the last set had a fault to fix"),
        (a_set(faults="k", grade=Grade.SHARP), "the last set asked for less load"),
        ((*a_set(grade=Grade.BROKEN), *a_set()), "an earlier set asked for less load tonight"),
        ((ReportPain(1), ClearPain(1), *a_set()), "pain was cleared"),
    ],
)
def test_more_than_the_rules_propose_after_a_set_that_speaks_against_it_is_asked_about(
    went: tuple[Command, ...], why: str
) -> None:
    scene = evening(ready(squat=60)).given(went)
    asked = scene.when(Overrule(1, "squat", "add"))
    assert asked.why.startswith(f"{{lifter}}: {why}. ") and asked.refusal is not None and asked.refusal.unless_sure
    sure = scene.when(Overrule(1, "squat", "add", sure=True))
    assert sure.event("proposal_overruled").load == sure.coming(1).load
    assert scene.when(Overrule(1, "squat", "lighten")).refusal is None


def test_the_load_a_lightened_set_came_down_from_is_asked_about_too() -> None:
    broken = evening(ready(squat=60)).given(a_set(grade=Grade.BROKEN))
    assert broken.when(Overrule(1, "squat", "keep")).why.endswith("60 kg all the same?")


def test_more_than_a_stages_heaviest_load_is_asked_about() -> None:
    scene = staged(9).given(a_set(made=3))
    assert scene.when(Overrule(1, "clean", "add")).why.startswith("{lifter}: the stage's heaviest load is 30 kg. ")


def test_after_a_good_set_the_coach_adds_with_one_key() -> None:
    assert evening(ready(squat=60)).given(a_set(grade=Grade.SHARP)).when(Overrule(1, "squat", "add")).refusal is None
    unseen = evening(ready(squat=60)).given(a_set(grade=Grade.UNSEEN))
    assert unseen.when(Overrule(1, "squat", "add")).refusal is None


def test_after_a_stop_every_way_asks_and_nothing_heavier_is_offered() -> None:
    stopped = evening(ready(squat=60)).given(a_set(faults="x", grade=Grade.BROKEN))
    assert [(way.action, way.asks) for way in offered(stopped).values()] == [("keep", True), ("lighten", True)]
    drilled = evening(belongs(1, squat=60), Arrive(1, RACK), StartDrill("squat", 4), DrillRep(), DrillFault(1, "x"))
    assert {way.asks for way in offered(drilled.given(EndDrill())).values()} == {True}


@pytest.mark.parametrize("gone", [ReportPain(1), Leave(1)])
def test_nobody_held_or_gone_is_offered_a_load(gone: ReportPain | Leave) -> None:
    assert offered(rough().given(gone)) == {}


def test_a_proposal_acted_on_is_past_overruling() -> None:
    done = rough()
    proposal = done.state.evening.proposals[1, "squat"]
    later = done.given(a_set(grade=Grade.SHARP))
    assert ways(later.state, proposal) == ways(later.state, later.state.evening.proposals[1, "squat"])
    last = later.given(a_set(grade=Grade.SHARP))
    assert ways(last.state, proposal) == ()
