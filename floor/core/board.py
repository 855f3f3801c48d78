"""What the board and the coach's panel say of a state: facts, still without a screen."""

from __future__ import annotations

from dataclasses import dataclass

from floor.core.proposals import DRILL_ENDS
from floor.core.queue import lifting
from floor.core.state import DONE, DROPPED, Present, Proposal, State, TheSet


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
    """The lifter at the bar: lifting, else the one who has stepped up; None for a free station."""
    lifter = lifting(state, station_id)
    if lifter is not None:
        running = lifter.running()
        assert running is not None
        return OnTheBar(lifter, running, True)
    up = state.evening.stations[station_id].up
    present = state.evening.here.get(up) if up is not None else None
    coming = present.pending() if present else None
    if present is None or coming is None:
        return None
    return OnTheBar(present, coming, False)


def last_done(state: State, station_id: int) -> tuple[Present, TheSet] | None:
    """The set that was ended last at a station, with its lifter; ramps ticked off do not count."""
    done = [
        (present, s)
        for present in state.evening.here.values()
        for s in present.sets
        if s.status == DONE and s.station == station_id and s.down is not None and (s.started or s.role != "ramp")
    ]
    return max(done, key=lambda pair: (pair[1].down, pair[0].lifter), default=None)


def proposal_after(state: State, present: Present, done: TheSet) -> Proposal | None:
    """The proposal this set led to, while it stands; None when none of the lift was left."""
    proposal = state.evening.proposals.get((present.lifter, done.lift))
    later = [s for s in present.of_lift(done.lift) if s.status == DONE and s.no > done.no]
    if proposal is None or proposal.set_no <= done.no or later:
        return None
    return proposal


def drill_stop(state: State, station_id: int) -> Proposal | None:
    """A lift of somebody at this station that a group drill ended before any set of it; None when there is none."""
    for (lifter, _), proposal in state.evening.proposals.items():
        present = state.evening.here[lifter]
        standing = proposal.rule == DRILL_ENDS and proposal.overruled is None and not present.gone
        if standing and present.station == station_id and proposal.lift in present.stopped:
            return proposal
    return None
