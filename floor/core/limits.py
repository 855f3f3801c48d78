"""The form limit as a rule: a lift taught for its form never goes ahead of the load its form has been seen to hold.

What the record says is read once, when the lifter arrives, and written down as
`limit_found`; whatever follows tonight uses that and not a newer one. With too
little seen there is no cap and it says so; the stage's own limit still holds.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from floor.core.evidence.formlimit import FEWEST_DAYS, FEWEST_REPS, VERSION, Cell, Where, limit_of
from floor.core.evidence.words import tenth
from floor.core.gym import Gym
from floor.core.state import FormCap, Lifter
from floor.core.steps import step_of

CAPS = "form-limit-caps"
"""The rule's id."""

THRESHOLD = 0.8
"""The chance of a fault-free rep that the form limit asks for: our choice, no source."""

DEFINITION = VERSION
"""Which reckoning of the limit an event was made by."""


def form_lifts(gym: Gym, lifter: Lifter) -> tuple[str, ...]:
    """The lifts whose load is held by form: those the gym marks so, and those the lifter trains in build sets."""
    programme = gym.programmes.get(lifter.programme)
    entries = [entry for day in programme.days for entry in day] if programme else []
    marked = [lift.id for lift in gym.lifts.values() if lift.form_first]
    built = [entry.lift for entry in entries if entry.role == "build" and entry.lift in gym.lifts]
    return tuple(dict.fromkeys((*marked, *built)))


def found(cells: Sequence[Cell], unit: str, step: int = 0) -> FormCap:
    """The cap that watched reps, counted by day and load, set on a lift.

    Where form held at every load that was watched, one `step` (hundredths) past the
    heaviest is open, even where the limit's own reach, a tenth, is less than a
    step: else a light bar would never be left.
    """
    limit = limit_of(cells, THRESHOLD, unit)
    if limit.load is None or limit.where is not Where.ABOVE:
        return FormCap(limit.load, limit.n, limit.days)
    return FormCap(max(limit.load, max(cell.load for cell in cells) + step), limit.n, limit.days)


def caps(gym: Gym, lifter: Lifter, seen: Iterable[tuple[str, Sequence[Cell]]]) -> tuple[tuple[str, FormCap], ...]:
    """Lift and cap, for those of a lifter's form lifts the record was read for."""
    ours = form_lifts(gym, lifter)
    return tuple((lift, found(cells, gym.unit, step_of(gym, lifter, lift))) for lift, cells in seen if lift in ours)


def cap_words(cap: FormCap | None, unit: str) -> str:
    """The evidence in one phrase; empty when nothing was looked up."""
    if cap is None:
        return ""
    reps = f"{cap.reps} watched {'rep' if cap.reps == 1 else 'reps'}"
    if cap.load is None:
        days = f"{cap.days} {'day' if cap.days == 1 else 'days'}"
        needed = f"{FEWEST_REPS} on {FEWEST_DAYS} needed"
        return f"form too early to say: {reps} on {days} ({needed})"
    return f"form holds to about {tenth(cap.load)} {unit} ({reps})"
