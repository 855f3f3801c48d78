"""Whatever happens in an evening: undo goes back, promises hold, nobody is given more than they should."""

from __future__ import annotations

from collections import Counter

from hypothesis import given, settings

from floor.core.apply import fold
from floor.core.commands import (
    Arrive,
    ChangeLoad,
    ClearPain,
    CloseSession,
    Command,
    EndSet,
    GiveProgramme,
    OpenSession,
    Overrule,
    PutRight,
    SetStage,
)
from floor.core.decide.closing import was_done
from floor.core.gym import Grade, Severity
from floor.core.loading import buildable
from floor.core.proposals import worst_fault
from floor.core.queue import can_stand
from floor.core.stacks import load_of
from floor.core.state import DROPPED, PLANNED, RUNNING, State
from tests.core.random_evenings import COMMANDS, START, Step, Wish, play
from tests.core.scenes import gym


@settings(deadline=None, max_examples=60)
@given(COMMANDS)
def test_undo_of_the_latest_command_that_stands_gives_the_state_before_it_back_to_the_beginning(
    wishes: list[Command | Wish],
) -> None:
    steps = play(wishes)
    while steps:
        undone = steps.pop()
        assert fold(START.state, [e for step in steps for e in step.events]) == undone.before


@settings(deadline=None, max_examples=60)
@given(COMMANDS)
def test_every_promise_is_to_someone_who_lifts_there_next(wishes: list[Command | Wish]) -> None:
    for step in play(wishes):
        evening = step.after.evening
        if not step.after.open:
            continue
        for station in evening.stations.values():
            stands = gym().station(station.id)
            told = [x for x in (station.up, station.next) if x is not None]
            assert len(told) == len(set(told)), step.command
            assert station.next is None or station.up is not None, step.command
            for lifter in told:
                present = evening.here[lifter]
                at = present.running() or present.pending()
                assert at is not None and not present.gone and not step.after.lifters[lifter].held, step.command
                assert present.station == station.id and can_stand(stands, gym().lifts[at.lift].needs), step.command
            assert station.next is None or evening.here[station.next].pending(), step.command
        everyone = [x for s in evening.stations.values() for x in (s.up, s.next) if x is not None]
        assert len(everyone) == len(set(everyone)), step.command
        waiting = [p for p in evening.here.values() if p.pending() and not p.gone and not p.running()]
        for present in waiting:
            if not step.after.lifters[present.lifter].held:
                assert evening.stations[present.station].up is not None, step.command


@settings(deadline=None, max_examples=60)
@given(COMMANDS)
def test_who_was_told_next_steps_up_next_unless_something_happened_to_them(wishes: list[Command | Wish]) -> None:
    for step in play(wishes):
        for i, event in enumerate(step.events):
            if event.kind != "stepped_up" or event.station is None:
                continue
            before = step.before.evening.stations[event.station]
            told, up = before.next, before.up
            if told is None or event.lifter in (told, up):
                continue
            present = step.after.evening.here[told]
            concerned = {e.lifter for e in step.events[:i]} | {e.other for e in step.events[:i]}
            assert told in concerned or present.pending() is None or step.after.lifters[told].held, (
                step.command,
                event,
            )


@settings(deadline=None, max_examples=60)
@given(COMMANDS)
def test_every_load_can_be_built_and_no_plate_is_on_two_bars(wishes: list[Command | Wish]) -> None:
    owned = {p.id: p.pairs for p in gym().plates}
    for step in play(wishes):
        for event in step.events:
            if event.kind in ("set_planned", "set_proposed", "proposal_overruled", "load_changed"):
                assert event.lift and event.load == buildable(gym(), event.lift, event.load or 0), event
            if event.kind == "set_started":
                assert event.bar and event.stack is not None
                assert event.load == load_of(gym(), event.bar, event.stack)
        on = Counter(p for s in step.after.evening.stations.values() for p in s.stack)
        assert all(on[p] <= owned[p] for p in on), (step.command, on)
        bars = Counter(s.bar for s in step.after.evening.stations.values())
        assert all(bars[bar.id] <= bar.count for bar in gym().bars), (step.command, bars)


def _bad(state: State, lifter: int, lift: str, set_no: int) -> bool:
    done = state.evening.here[lifter].set(set_no)
    assert done is not None
    worst = worst_fault(gym(), done)
    return done.grade in (Grade.ROUGH, Grade.BROKEN) or (worst is not None and worst.rank >= Severity.FIX.rank)


def _put_right(
    step: Step, right: PutRight, limits: dict[tuple[int, str], int], spoke: dict[tuple[int, str], int]
) -> None:
    """What a set put right allows: its own load once it is bad, however long ago it was; a ramp's says nothing."""
    done = step.after.evening.here[right.lifter].set(right.set_no)
    assert done is not None
    key = (right.lifter, done.lift)
    bad = [_bad(state, *key, done.no) for state in (step.before, step.after)]
    if key in limits and spoke[key] == done.no:
        limits.pop(key)
        if bad[1]:
            limits[key] = done.load
    elif bad == [False, True] and done.role != "ramp":
        limits[key], spoke[key] = min(done.load, limits.get(key, done.load)), done.no


@settings(deadline=None, max_examples=60)
@given(COMMANDS)
def test_putting_a_set_right_never_adds_to_what_was_planned(wishes: list[Command | Wish]) -> None:
    for step in play(wishes):
        if not isinstance(step.command, PutRight):
            continue
        lifter = step.command.lifter
        planned = {s.no: s.load for s in step.before.evening.here[lifter].sets}
        for proposal in step.before.evening.proposals.values():
            sets = step.before.evening.here[lifter].of_lift(proposal.lift)
            coming = [s for s in sets if s.no >= proposal.set_no and s.status in (PLANNED, DROPPED, RUNNING)]
            if proposal.lifter == lifter and proposal.overruled is None:
                for s, load in zip(coming, proposal.before, strict=False):
                    planned[s.no] = max(planned[s.no], load)
        for s in step.after.evening.here[lifter].sets:
            if s.status == PLANNED:
                assert s.load <= planned[s.no], (step.command, s, planned)


@settings(deadline=None, max_examples=60)
@given(COMMANDS)
def test_after_a_bad_set_the_next_one_is_never_heavier_unless_the_coach_says_so(wishes: list[Command | Wish]) -> None:
    limits: dict[tuple[int, str], int] = {}
    spoke: dict[tuple[int, str], int] = {}
    for step in play(wishes):
        by_hand = isinstance(step.command, (Overrule, ChangeLoad, OpenSession, GiveProgramme))
        for event in step.events:
            key = (event.lifter or 0, event.lift or "")
            if event.kind == "set_started" and key in limits:
                assert (event.load or 0) <= limits[key], (step.command, event)
        for event in step.events:
            key = (event.lifter or 0, event.lift or "")
            if event.kind in ("set_ended", "set_recorded") and event.set_no and event.load:
                limits.pop(key, None)
                if _bad(step.after, key[0], key[1], event.set_no):
                    limits[key], spoke[key] = event.load, event.set_no
        if isinstance(step.command, PutRight):
            _put_right(step, step.command, limits, spoke)
        if by_hand:
            limits = {k: v for k, v in limits.items() if k[0] != getattr(step.command, "lifter", k[0])}
        for (lifter, lift), limit in limits.items():
            present = step.after.evening.here.get(lifter)
            coming = present.pending() if present and not present.running() else None
            if coming is not None and coming.lift == lift:
                assert coming.load <= limit, (step.command, coming, limit)


@settings(deadline=None, max_examples=60)
@given(COMMANDS)
def test_a_held_lifter_never_starts_and_never_has_a_set_running(wishes: list[Command | Wish]) -> None:
    for step in play(wishes):
        started = [e for e in step.events if e.kind == "set_started"]
        assert not any(step.before.lifters[e.lifter or 0].held for e in started)
        for present in step.after.evening.here.values():
            if step.after.lifters[present.lifter].held:
                assert present.running() is None
        running = [s.station for p in step.after.evening.here.values() for s in p.sets if s.status == RUNNING]
        assert len(running) == len(set(running))


@settings(deadline=None, max_examples=60)
@given(COMMANDS)
def test_pain_a_dangerous_fault_or_a_broken_set_never_brings_more_next_time(wishes: list[Command | Wish]) -> None:
    steps = play([*wishes, *(EndSet(s, Grade.UNSEEN) for s in (1, 2, 3)), CloseSession()])
    for step in steps:
        if not isinstance(step.command, CloseSession):
            continue
        for event in (e for e in step.events if e.kind == "next_planned"):
            lifter = step.before.lifters[event.lifter or 0]
            sets = step.before.evening.here[lifter.id].of_lift(event.lift or "")
            bad = [s for s in sets if s.grade is not None and _bad(step.before, lifter.id, s.lift, s.no)]
            work = [s for s in bad if s.role != "ramp" or worst_fault(gym(), s)]
            hurt = lifter.held or (lifter.cleared_at is not None and lifter.cleared_at >= step.before.evening.opened)
            if hurt or work:
                assert (event.load or 0) <= (event.was or 0), event


@settings(deadline=None, max_examples=60)
@given(COMMANDS)
def test_a_lift_nobody_did_is_never_planned_anew_or_raised_and_keeps_its_stage(wishes: list[Command | Wish]) -> None:
    steps = play([*wishes, *(EndSet(s, Grade.UNSEEN) for s in (1, 2, 3)), CloseSession()])
    for step in steps:
        if not isinstance(step.command, CloseSession):
            continue
        for event in (e for e in step.events if e.kind in ("next_planned", "stage_set")):
            lifter, lift = step.before.lifters[event.lifter or 0], event.lift or ""
            if was_done(step.before.evening.here[lifter.id], lift):
                continue
            assert event.kind == "next_planned" and lift in lifter.plans, event
            assert (event.load or 0) <= lifter.plans[lift].load, event


@settings(deadline=None, max_examples=60)
@given(COMMANDS)
def test_turns_only_grow_while_a_lifter_stays_and_late_comers_do_not_start_behind(wishes: list[Command | Wish]) -> None:
    for step in play(wishes):
        for lifter, present in step.after.evening.here.items():
            was = step.before.evening.here.get(lifter)
            if was is not None and step.before.evening.session == step.after.evening.session:
                moved = any(e.kind == "lifter_moved" and e.lifter == lifter for e in step.events)
                assert moved or present.turns >= was.turns


@settings(deadline=None, max_examples=60)
@given(COMMANDS)
def test_no_stage_goes_up_but_by_the_coachs_hand(wishes: list[Command | Wish]) -> None:
    for step in play(wishes):
        if isinstance(step.command, (SetStage, PutRight, Overrule, OpenSession, Arrive, ClearPain)):
            continue
        for lifter, present in step.after.evening.here.items():
            before = step.before.evening.here.get(lifter)
            for was, now in zip(before.sets if before else (), present.sets, strict=False):
                if was.no == now.no and was.stage is not None:
                    assert now.stage is not None and now.stage <= was.stage, (step.command, was, now)


@settings(deadline=None, max_examples=60)
@given(COMMANDS)
def test_signing_a_stage_and_more_rest_are_never_more_load(wishes: list[Command | Wish]) -> None:
    for step in play(wishes):
        for event in step.events:
            if event.kind != "set_proposed" or event.action not in ("step_up", "rest"):
                continue
            last = max(
                (s for s in step.after.evening.here[event.lifter or 0].of_lift(event.lift or "") if s.down),
                key=lambda s: (s.down, s.no),
            )
            assert (event.load or 0) <= max(last.load, 0) and (event.load or 0) <= (event.was or 0), event
            assert event.action != "rest" or (event.seconds or 0) > 0


@settings(deadline=None, max_examples=60)
@given(COMMANDS)
def test_nothing_is_added_tonight_after_a_bad_fault_in_the_group_drill(wishes: list[Command | Wish]) -> None:
    for step in play(wishes):
        for event in step.events:
            if event.kind == "set_proposed" and event.action == "add" and event.rule == "build-adds":
                marked = [f for who, lift, f in step.after.evening.drilled if (who, lift) == (event.lifter, event.lift)]
                faults = [gym().lifts[event.lift or ""].fault(f) for f in marked]
                assert not any(f and f.severity.rank >= Severity.LIGHTEN.rank for f in faults), event


@settings(deadline=None, max_examples=60)
@given(COMMANDS)
def test_the_word_to_work_on_is_always_a_fault_that_was_seen(wishes: list[Command | Wish]) -> None:
    for step in play(wishes):
        for event in (e for e in step.events if e.kind == "cue_set" and e.fault is not None):
            present = step.after.evening.here[event.lifter or 0]
            seen = {f for s in present.of_lift(event.lift or "") for _, f in s.faults}
            seen |= {f for who, lift, f in step.after.evening.drilled if (who, lift) == (event.lifter, event.lift)}
            before = step.before.lifters[event.lifter or 0].cues.get(event.lift or "")
            assert event.fault in seen and event.fault != before, event


def test_the_random_evenings_are_real_evenings() -> None:
    """The strategy reaches what it is meant to: sets end, stops, steps down, holds and moves happen."""
    reached: Counter[str] = Counter()

    @settings(max_examples=200, derandomize=True, database=None, deadline=None)
    @given(COMMANDS)
    def look(wishes: list[Command | Wish]) -> None:
        for step in play(wishes):
            for event in step.events:
                reached[f"{event.kind} {event.action}" if event.action else event.kind] += 1

    look()
    wanted = {"set_started", "set_ended", "set_recorded", "set_put_right", "set_proposed stop", "set_proposed lighten",
              "set_proposed add", "proposal_overruled keep", "pain_reported", "pain_cleared", "lifter_moved",
              "turn_passed", "lifters_swapped", "load_changed", "bar_found", "session_closed", "next_planned",
              "fault_withdrawn", "lifts_swapped", "lifter_left", "cue_set", "drill_fault", "stage_set",
              "set_proposed rest", "set_proposed step_down"}  # fmt: skip
    assert wanted - set(reached) == set()
