"""What the board and the coach's panel say of a state: facts, still without a screen."""

from __future__ import annotations

from dataclasses import dataclass

from floor.core.programme import stage_now
from floor.core.proposals import DRILL_ENDS, STEP_UP
from floor.core.queue import lifting
from floor.core.state import DONE, DROPPED, PLANNED, Present, Proposal, State, TheSet


def place(present: Present, the_set: TheSet) -> tuple[int, int]:
    """(n, m): which of how many sets of its lift and kind this is tonight; ramp sets count apart."""
    ramp = the_set.role == "ramp"
    alike = [s for s in present.of_lift(the_set.lift) if (s.role == "ramp") == ramp and s.status != DROPPED]
    numbers = [s.no for s in alike]
    return numbers.index(the_set.no) + 1 if the_set.no in numbers else 0, len(alike)


@dataclass(frozen=True, slots=True)
class OnTheBar:
    """Whoever the station is for now: lifting, or up next with that set to come."""

    present: Present
    set: TheSet
    running: bool


def on_the_bar(state: State, station_id: int) -> OnTheBar | None:
    """The lifter at the bar: lifting, else the one who has stepped up; None for a free station, or one not there."""
    lifter = lifting(state, station_id)
    if lifter is not None:
        running = lifter.running()
        assert running is not None
        return OnTheBar(lifter, running, True)
    station = state.evening.stations.get(station_id)
    present = state.evening.here.get(station.up) if station is not None and station.up is not None else None
    coming = present.pending() if present else None
    if present is None or coming is None:
        return None
    return OnTheBar(present, coming, False)


def last_done(state: State, station_id: int) -> tuple[Present, TheSet] | None:
    """The set that was ended or written down last at a station, with its lifter; ramps ticked off do not count."""
    station = state.evening.stations.get(station_id)
    latest = station.latest if station is not None else None
    present = state.evening.here.get(latest[0]) if latest is not None else None
    done = present.set(latest[1]) if latest is not None and present is not None else None
    return (present, done) if present is not None and done is not None and done.status == DONE else None


def proposal_after(state: State, present: Present, done: TheSet) -> Proposal | None:
    """The proposal on a set's lift while its own set is still to come; None when none of the lift was left."""
    proposal = state.evening.proposals.get((present.lifter, done.lift))
    its = present.set(proposal.set_no) if proposal is not None else None
    return proposal if its is not None and its.status in (PLANNED, DROPPED) and not its.trimmed else None


def evening_done(state: State) -> bool:
    """Whether something was lifted and nothing is left: for nobody here who may lift, and nobody is expected."""
    evening = state.evening
    left = any(
        present.running() or (present.pending() and not present.gone and not state.lifters[present.lifter].held)
        for present in evening.here.values()
    )
    return not left and not evening.late and any(s.status == DONE for p in evening.here.values() for s in p.sets)


def stage_shown(state: State, lifter: int, lift: str) -> int | None:
    """The stage up to which a lifter is proposed to be signed off, None where no such proposal waits."""
    proposal = state.evening.proposals.get((lifter, lift))
    if proposal is None or proposal.action != STEP_UP or proposal.overruled or proposal.stage is None:
        return None
    now = stage_now(state.gym.lifts[lift], state.lifters[lifter])
    return proposal.stage if now is not None and now < proposal.stage else None


def drill_stop(state: State, station_id: int) -> Proposal | None:
    """A lift of somebody at this station that a group drill ended before any set of it; None when there is none."""
    for (lifter, _), proposal in state.evening.proposals.items():
        present = state.evening.here[lifter]
        standing = proposal.rule == DRILL_ENDS and proposal.overruled is None and not present.gone
        if standing and present.station == station_id and proposal.lift in present.stopped:
            return proposal
    return None
