"""Whether a cue has helped: how often its fault was seen before the word was first said, and since.

Counted in watched reps with Wilson's intervals; nothing is said while they touch.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from floor.core.course import FaultRate
from floor.core.evidence.rates import wilson
from floor.core.past import CuePast, SetPast


@dataclass(frozen=True, slots=True)
class Helped:
    """A cue and the rate of its fault before and after it was first said.

    The set that led to the cue counts before it. A bad set picks the moment, so
    the rate before looks a little high by that alone.
    """

    fault: str
    before: FaultRate
    after: FaultRate

    @property
    def parted(self) -> bool:
        """The two intervals have nothing in common."""
        old, new = self.before.rate, self.after.rate
        return bool(self.before.watched and self.after.watched) and (new.high < old.low or old.high < new.low)

    @property
    def verdict(self) -> str:
        """What may be said: nothing, unless the intervals part."""
        if not self.parted:
            return "too early to say"
        return "it works" if self.after.rate.rate < self.before.rate.rate else "more often since: try another word"


def helped(sets: Iterable[SetPast], cues: Sequence[CuePast], lift_id: str) -> Helped | None:
    """How the fault of the latest cue of a lift has gone; None when no word was ever said.

    `sets` may hold more lifts; only watched reps of this one count.
    """
    mine = [c for c in cues if c.lift == lift_id]
    last = next((c for c in reversed(mine) if c.fault), None)
    if last is None or last.fault is None:
        return None
    first = next(c for c in mine if c.fault == last.fault)
    mark = (first.session, first.set_no or 0)
    seen = [s for s in sets if s.lift == lift_id and s.watched]
    before = [s for s in seen if (s.session, s.set_no) <= mark]
    after = [s for s in seen if (s.session, s.set_no) > mark]
    return Helped(last.fault, _rate(before, last.fault), _rate(after, last.fault))


def _rate(sets: Sequence[SetPast], fault_id: str) -> FaultRate:
    watched = sum(s.tried for s in sets)
    faulty = 0
    for s in sets:
        at = {rep for rep, f in s.faults if f == fault_id}
        faulty += min(s.tried, max(len(at - {0}), bool(at)))
    return FaultRate(faulty, watched, wilson(faulty, watched))
