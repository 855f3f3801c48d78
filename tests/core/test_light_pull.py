"""The deadlift that stops recovering: the clean is proposed as the light pull in midweek, and waits for the coach."""

from __future__ import annotations

from dataclasses import replace

from floor.core.apply import fold
from floor.core.commands import Arrive, CloseSession, GiveProgramme, OpenSession, RampDone, ReportPain, SetStage
from floor.core.definitions import parse_gym
from floor.core.events import CARRIED, Event
from floor.core.gym import Entry, Gym, Programme
from floor.core.pulls import positions, positions_ready, proposal_words
from floor.core.state import State
from floor.core.summary import lifter_lines, summarise
from floor.templates import templates
from tests.core.scenes import RACK, SIX, Scene, a_set, belongs, gym, kg

GOOD, MISSED = a_set(), a_set(made=4, missed=1)
PULL_GOOD, PULL_MISSED = GOOD, MISSED


def pulling() -> Gym:
    """A gym with a programme of squat and deadlift that knows the one with the clean."""
    day = (Entry("squat", 1, 5), Entry("deadlift", 1, 5))
    light = (Entry("clean", 5, 3, role="build"), Entry("squat", 1, 5, percent=80))
    programmes = {
        "pulls": Programme("pulls", "Squat and pull", (day,), pull_light="mid"),
        "mid": Programme("mid", "Clean in midweek", (day, light)),
    }
    return replace(gym(), programmes=programmes, settings=replace(gym().settings, programme="pulls"))


def last_position() -> int:
    return max(no for no, _ in positions(gym().lifts["clean"]))


def session(
    squat: tuple[object, ...] = GOOD, pull: tuple[object, ...] = PULL_MISSED, *, repeats: int = 1,
    stage: int | None = None, gym_: Gym | None = None, held: bool = False,
) -> Scene:
    """An evening of one squat set and one deadlift set, closed; the deadlift was repeated `repeats` times before."""
    told = Event(
        kind="next_planned", happened=SIX, lifter=1, lift="deadlift", sets=1, reps=5, load=kg(80), rule="x",
        count=repeats,
    )
    stages = (SetStage(1, "clean", stage),) if stage is not None else ()
    scene = Scene(State(gym=gym_ or pulling())).given(
        OpenSession(), belongs(1, "pulls", squat=60), told, stages,
        Arrive(1, RACK), RampDone(1), squat, RampDone(1), pull,
    )
    return (scene.given(ReportPain(1)) if held else scene).when(CloseSession())


def test_two_repeats_running_while_the_squat_goes_on_propose_the_clean_in_midweek() -> None:
    scene = session(stage=last_position() + 1)
    told = scene.event("programme_proposed")
    assert (told.definition, told.rule, told.lift, told.other_lift) == ("mid", "deadlift-slows", "deadlift", "clean")
    assert (told.load, told.count, told.stage) == (kg(80), 2, last_position() + 1)


def test_it_is_only_proposed_the_programme_stays_until_the_coach_gives_another() -> None:
    scene = session(stage=last_position() + 1)
    assert scene.state.lifters[1].programme == "pulls"
    scene = scene.given(GiveProgramme(1, "mid"))
    assert (scene.state.lifters[1].programme, scene.state.lifters[1].proposed) == ("mid", None)


def test_the_coach_says_no_by_giving_the_same_programme_again() -> None:
    scene = session(stage=last_position() + 1).given(GiveProgramme(1, "pulls"))
    assert scene.state.lifters[1].proposed is None


def test_an_ease_back_after_three_repeats_proposes_it_too() -> None:
    told = session(repeats=2, stage=last_position() + 1).event("programme_proposed")
    assert (told.count, told.load) == (3, kg(72))


def test_a_first_repeat_is_a_bad_day_and_proposes_nothing() -> None:
    assert "programme_proposed" not in session(repeats=0, stage=last_position() + 1).kinds


def test_a_squat_that_stalls_as_well_is_no_matter_of_the_pull() -> None:
    assert "programme_proposed" not in session(squat=MISSED, stage=last_position() + 1).kinds


def test_a_deadlift_that_goes_on_proposes_nothing() -> None:
    assert "programme_proposed" not in session(pull=PULL_GOOD, stage=last_position() + 1).kinds


def test_without_front_rack_and_flat_back_signed_off_nothing_is_proposed() -> None:
    for stage in (None, 1, last_position()):
        assert "programme_proposed" not in session(stage=stage).kinds


def test_a_lift_that_names_no_positions_is_never_ready() -> None:
    bare = replace(gym().lifts["clean"], stages=tuple(replace(s, position="") for s in gym().lifts["clean"].stages))
    assert not positions_ready(bare, 99)


def test_a_programme_that_names_no_other_proposes_nothing() -> None:
    plain = pulling()
    alone = replace(plain, programmes={"pulls": replace(plain.programmes["pulls"], pull_light="")})
    assert "programme_proposed" not in session(stage=last_position() + 1, gym_=alone).kinds


def test_pain_proposes_nothing() -> None:
    assert "programme_proposed" not in session(stage=last_position() + 1, held=True).kinds


def test_it_says_from_what_to_what_by_what_evidence_before_and_after_the_close() -> None:
    scene = session(stage=last_position() + 1)
    proposed = scene.state.lifters[1].proposed
    assert proposed is not None
    words = proposal_words(scene.state.gym, proposed)
    assert words == (
        "programme Clean in midweek, the power clean first and light · "
        "why: the deadlift no longer recovers: a light pull in midweek · "
        "deadlift 2 repeats running, now 80 kg, squat goes on · "
        f"front rack and flat back signed off (stage {last_position() + 1}); P at check-in gives it"
    )
    told = " ".join(" ".join(lifter_lines(summarise(scene.state).came[0], scene.state.gym, {1: "Ada"}, 100)).split())
    assert f"proposed: {words}" in told


def test_the_proposal_waits_over_to_the_next_evening() -> None:
    scene = session(stage=last_position() + 1)
    carried = fold(State(gym=pulling()), [e for e in scene.events if e.kind in CARRIED])
    assert carried.lifters[1].proposed == scene.state.lifters[1].proposed
    following = scene.later(days=2).given(OpenSession(), Arrive(1, RACK), RampDone(1), GOOD, RampDone(1), PULL_MISSED)
    assert "programme_proposed" not in following.when(CloseSession()).kinds


def test_the_shipped_programme_it_goes_over_to_trains_the_clean_fresh_and_once_a_week() -> None:
    shipped = parse_gym(templates(), {}, "kg")
    assert isinstance(shipped, Gym)
    starts = [p for p in shipped.programmes.values() if p.pull_light]
    assert starts
    for programme in starts:
        target = shipped.programmes[programme.pull_light]
        assert not any(e.lift == "clean" for day in programme.days for e in day)
        with_clean = [day for day in target.days if any(e.lift == "clean" for e in day)]
        assert len(with_clean) == 1 and with_clean[0] == target.days[len(target.days) // 2]
        assert with_clean[0][0].lift == "clean" and (with_clean[0][0].sets, with_clean[0][0].reps) == (5, 3)
        assert not any(e.lift == "deadlift" for e in with_clean[0])
