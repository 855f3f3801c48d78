"""The stage a lift ends an evening at: where a step down was proposed and not answered, that one. Pure."""

from __future__ import annotations

from floor.core.proposals import STEP_DOWN
from floor.core.state import DONE, DROPPED, PLANNED, State, TheSet
from floor.core.tonight import sent_back


def ended_at(state: State, lifter: int, lift: str) -> int | None:
    """The stage that tonight's sets of a lift end at for a lifter; None where none was done since the coach signed one.

    It is the last set's, unless the same fault in two sets running sends back: a proposal of
    it that the coach let stand waits for next time where its set was not lifted, and the
    last two sets of the evening count where none was left to propose it for.
    """
    present, signed = state.evening.here[lifter], state.evening.signed.get((lifter, lift))
    sets = present.of_lift(lift)
    since = [s for s in sets if s.status == DONE and (not signed or not s.down or s.down > signed)]
    staged = [s for s in since if s.stage is not None]
    if not staged:
        return None
    left = [s for s in sets if s.status in (PLANNED, DROPPED) and not s.trimmed]
    back = _proposed(state, lifter, lift, left) if left else _unasked(state, lifter, since)
    return staged[-1].stage if back is None else back


def _proposed(state: State, lifter: int, lift: str, left: list[TheSet]) -> int | None:
    """The stage a standing proposal sends back to, its sets still to come and as it left them."""
    proposal = state.evening.proposals.get((lifter, lift))
    stands = proposal is not None and proposal.action == STEP_DOWN and proposal.overruled is None
    return proposal.stage if proposal is not None and stands and left[0].stage == proposal.stage else None


def _unasked(state: State, lifter: int, since: list[TheSet]) -> int | None:
    """The stage that the evening's last set and the one before it send back to."""
    last = max((s for s in since if s.role != "ramp"), key=lambda s: s.no, default=None)
    return sent_back(state.gym, state.evening.here[lifter], last) if last is not None else None
