"""What a key asks for. A command is a wish; decide() answers with events or a refusal.

Loads are hundredths of the gym's unit; `seconds` is how long ago the bar was
put down. Lifters, stations and sets go by number.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from floor.core.events import USUALLY_LATE
from floor.core.evidence.formlimit import Cell
from floor.core.gym import Grade
from floor.core.pastdays import PastDay
from floor.core.state import CleanRow, Repeat


@dataclass(frozen=True, slots=True)
class Refusal:
    """An expected no, with what to do instead. `{lifter}` in `why` stands for that lifter's name.

    `unless_sure`: the same command is done when it says that the coach is `sure`. `{at}`
    in `why` stands for the time of day, in the gym's zone, of the moment `at`.
    """

    why: str
    lifter: int | None = None
    unless_sure: bool = False
    at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Command:
    """The root of all commands."""


@dataclass(frozen=True, slots=True)
class JoinLifter(Command):
    """A new lifter; the name is given alongside, to the people."""

    lifter: int
    youth: bool = False
    programme: str = ""


@dataclass(frozen=True, slots=True)
class RosterRow:
    """One line of a roster: a lifter's lift with its sets, reps and load."""

    lifter: int
    lift: str
    sets: int
    reps: int
    load: int


@dataclass(frozen=True, slots=True)
class BringRoster(Command):
    """A whole roster at once: `new` are lifters who have to be joined first."""

    rows: tuple[RosterRow, ...]
    new: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class BringHistory(Command):
    """A history kept elsewhere, all at once: `new` are lifters who have to be joined first.

    `rest_on` are the days that plans made by an earlier history rest on, with the sets of those lifts.
    """

    days: tuple[PastDay, ...]
    new: tuple[int, ...] = ()
    rest_on: tuple[PastDay, ...] = ()


@dataclass(frozen=True, slots=True)
class GiveProgramme(Command):
    lifter: int
    programme: str
    day: int = 0


@dataclass(frozen=True, slots=True)
class SetHeights(Command):
    lifter: int
    lift: str
    rack: int | None = None
    safety: int | None = None
    bench: int | None = None


@dataclass(frozen=True, slots=True)
class SetStep(Command):
    """A lifter's own step on a lift, in hundredths, in place of the lift's."""

    lifter: int
    lift: str
    step: int


@dataclass(frozen=True, slots=True)
class SetStage(Command):
    """The coach sets a lifter's stage of a lift; `sure` of one that is not next to the stage now."""

    lifter: int
    lift: str
    stage: int
    sure: bool = False


@dataclass(frozen=True, slots=True)
class PlanNext(Command):
    """The coach sets what next time brings by hand; `sure` of a load that jumps far."""

    lifter: int
    lift: str
    sets: int
    reps: int
    load: int
    sure: bool = False


@dataclass(frozen=True, slots=True)
class OpenSession(Command):
    pass


@dataclass(frozen=True, slots=True)
class ExpectLate(Command):
    """The lifter comes late, in about so many seconds; said again, it is put right."""

    lifter: int
    seconds: int = USUALLY_LATE


@dataclass(frozen=True, slots=True)
class SetLeaving(Command):
    """The lifter must go in so many seconds, done or not; None: they may stay."""

    lifter: int
    seconds: int | None


@dataclass(frozen=True, slots=True)
class Arrive(Command):
    """Check in. `new` lifters are joined first (a walk-in), on the gym's default programme.

    `seen` is what the record says of the lifter's form: (lift, watched reps by day and load),
    `repeats` the evenings that a lift's load was repeated after: (lift, the oldest first),
    `rows` the clean reps that a stage's evenings before ended with.
    """

    lifter: int
    station: int
    new: bool = False
    youth: bool = False
    seen: tuple[tuple[str, tuple[Cell, ...]], ...] = ()
    repeats: tuple[tuple[str, tuple[Repeat, ...]], ...] = ()
    rows: tuple[tuple[str, CleanRow], ...] = ()


@dataclass(frozen=True, slots=True)
class Move(Command):
    lifter: int
    station: int


@dataclass(frozen=True, slots=True)
class ShareOut(Command):
    """Lifters to the stations of their groups at once: (lifter, station), before they have lifted."""

    moves: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Leave(Command):
    lifter: int


@dataclass(frozen=True, slots=True)
class StartSet(Command):
    """Whoever is up begins; `sure` that it may be on a bar heavier than the set planned."""

    station: int
    sure: bool = False


@dataclass(frozen=True, slots=True)
class CountRep(Command):
    """A rep made or missed; `sure` that one more was done after a fault that ends the set."""

    station: int
    made: bool
    sure: bool = False


@dataclass(frozen=True, slots=True)
class AllMade(Command):
    """Every rep still to do was made."""

    station: int


@dataclass(frozen=True, slots=True)
class SeeFault(Command):
    """A fault on the rep just counted."""

    station: int
    letter: str


@dataclass(frozen=True, slots=True)
class EndSet(Command):
    """Grade and end the running set; without a grade, the suggested one."""

    station: int
    grade: Grade | None = None


@dataclass(frozen=True, slots=True)
class RecordWhole(Command):
    """A set seen late, or by nobody, all at once; `sure` of a load far off, and that it was before pain or a stop."""

    lifter: int
    set_no: int
    made: int
    missed: int = 0
    grade: Grade = Grade.UNSEEN
    load: int | None = None
    faults: tuple[tuple[int, str], ...] = ()
    seconds: int = 0
    sure: bool = False


@dataclass(frozen=True, slots=True)
class PutRight(Command):
    """Correct an older set; what is None stays. `sure` of a load far over the plan."""

    lifter: int
    set_no: int
    made: int | None = None
    missed: int | None = None
    load: int | None = None
    grade: Grade | None = None
    add: tuple[tuple[int, str], ...] = ()
    withdraw: tuple[tuple[int, str], ...] = ()
    sure: bool = False


@dataclass(frozen=True, slots=True)
class RampDone(Command):
    """The lifter's ramp sets of the lift in hand are done, by themselves."""

    lifter: int


@dataclass(frozen=True, slots=True)
class Pass(Command):
    """Whoever is up lets the next one go first."""

    station: int


@dataclass(frozen=True, slots=True)
class Swap(Command):
    """Two lifters at a station change places in the line."""

    station: int
    lifter: int
    other: int


@dataclass(frozen=True, slots=True)
class TakeOffer(Command):
    """The order the plan offers at a station, for one turn each."""

    station: int


@dataclass(frozen=True, slots=True)
class HoldOrder(Command):
    """The line as it stands is the coach's own order, round after round, until `FollowBar`."""

    station: int


@dataclass(frozen=True, slots=True)
class FollowBar(Command):
    """Back to the rising bar: an order set by hand is gone, held or not."""

    station: int


@dataclass(frozen=True, slots=True)
class TakeTrim(Command):
    """One of the plan's trims, by its place there, from 0."""

    trim: int


@dataclass(frozen=True, slots=True)
class SwapLifts(Command):
    """The lifter's next lift comes first: the rack is taken."""

    lifter: int


@dataclass(frozen=True, slots=True)
class ChangeLoad(Command):
    """Another load for the lifter's coming sets (a ramp set: only that one); `sure` of a load that jumps far."""

    lifter: int
    load: int
    sure: bool = False


@dataclass(frozen=True, slots=True)
class BarFound(Command):
    """The bar isn't like that: what is really on it."""

    station: int
    load: int


@dataclass(frozen=True, slots=True)
class Overrule(Command):
    """The coach decides otherwise: add, keep or lighten; `sure` of a load that jumps far."""

    lifter: int
    lift: str
    action: str
    sure: bool = False


@dataclass(frozen=True, slots=True)
class ReportPain(Command):
    lifter: int


@dataclass(frozen=True, slots=True)
class ClearPain(Command):
    """The coach records the clearance; who gave it is noted with the person."""

    lifter: int


@dataclass(frozen=True, slots=True)
class StopAll(Command):
    pass


@dataclass(frozen=True, slots=True)
class ResumeAll(Command):
    pass


@dataclass(frozen=True, slots=True)
class StartDrill(Command):
    lift: str
    stage: int


@dataclass(frozen=True, slots=True)
class DrillRep(Command):
    pass


@dataclass(frozen=True, slots=True)
class DrillFault(Command):
    lifter: int
    letter: str


@dataclass(frozen=True, slots=True)
class EndDrill(Command):
    pass


@dataclass(frozen=True, slots=True)
class NoteIncident(Command):
    lifter: int


@dataclass(frozen=True, slots=True)
class AddNote(Command):
    """A note about a lifter; its words are given alongside, to the people."""

    lifter: int


@dataclass(frozen=True, slots=True)
class CloseSession(Command):
    pass


IfSure = ChangeLoad | CountRep | Overrule | PlanNext | PutRight | RecordWhole | SetStage | StartSet
"""The commands that may be refused unless the coach is `sure`."""
