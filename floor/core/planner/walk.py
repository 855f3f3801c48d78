"""An order of lifters and what it comes to, worked out again only from where it changes.

The rules are those of `Tables.turns`, with no list of turns made: this is the
inner loop of the search.
"""

from __future__ import annotations

from dataclasses import dataclass

from floor.core.planner.sharing import Held, clear, held_at_first, overlap
from floor.core.planner.tables import NEVER, Tables


@dataclass(frozen=True, slots=True)
class Weights:
    """What a second late, of finish, after leaving, waited too long, of eyes-on sets at once, and a plate moved cost.

    Late is after `closing`.
    """

    late: float = 1.0
    finish: float = 0.0
    leaving: float = 0.0
    waited: float = 0.0
    eyes: float = 0.0
    moved: float = 0.0
    closing: int = 0


# Rested, sets done, by lifter; free, set-ups and plates to each set, the latest set, by station; the latest finish in
# sight (several stations only); finish, after leaving, waited, eyes-on at once, plates moved.
_Mark = tuple[
    list[int], list[int], list[int], list[list[int]], list[list[int]], list[Held], int, int, int, int, int, int
]  # fmt: skip


class Walk:
    """An order, the evening's state before each of its turns, and its cost. `nodes` counts the sets placed so far."""

    def __init__(self, t: Tables, order: list[int], weights: Weights) -> None:
        self.t = t
        self.order = order
        self.weights = weights
        self.nodes = 0
        places = t.evening.places
        self._go = self._one if len(places) == 1 else self._many
        self._clash = t.clash
        self._eyes = len(places) > 1 and sum(map(bool, t.eyes)) > 1 and weights.eyes > 0
        start: _Mark = (
            [c.ready for c in t.evening.chains], [0] * len(t.sets), [p.free for p in places], t.first[:],
            t.first_moved[:], held_at_first(places), 0, 0, 0, 0, 0, 0,
        )  # fmt: skip
        self._marks = [start]
        self.cost = 0.0
        self.keep(order, 0)

    def keep(self, order: list[int], since: int) -> None:
        """Take that order, which is the same before `since`."""
        self.order = order
        del self._marks[since + 1 :]
        mark = self._go(order, since, self._marks, NEVER)
        if mark is not None:
            self._marks.append(mark)
            self.cost = self._cost(mark)

    def of(self, order: list[int], since: int, dare: float) -> float:
        """The cost of another order, which is the same before `since`; NEVER when it is over `dare` for certain."""
        mark = self._go(order, since, None, dare)
        return NEVER if mark is None else self._cost(mark)

    def _cost(self, mark: _Mark) -> float:
        w = self.weights
        finish, overdue, waited, eyes, moved = mark[7:]
        late = w.late * max(0, finish - w.closing)
        return late + w.finish * finish + w.leaving * overdue + w.waited * waited + w.eyes * eyes + w.moved * moved

    def _one(self, order: list[int], since: int, marks: list[_Mark] | None, dare: float) -> _Mark | None:
        """One station: the same rules as `_many`, with its state in plain names; `dare` is not worth a look."""
        t = self.t
        sets, seconds, rest, cold, due, set_up, plates = t.sets, t.seconds, t.rest, t.cold, t.due, t.set_up, t.moved
        ready, done, free, rows, moves, held, reach, finish, overdue, waited, eyes, moved = self._marks[since]
        ready, done, end, row, move = ready[:], done[:], free[0], rows[0], moves[0]
        for n in range(since, len(order)):
            i = order[n]
            if marks is not None and n > since:
                marks.append((ready[:], done[:], [end], [row], [move], held, reach, end, overdue, waited, eyes, moved))
            s = sets[i][done[i]]
            done[i] += 1
            begin = end + row[s]
            late = begin - ready[i]
            if late < 0:
                begin -= late
            elif late > cold[s]:
                waited += late - cold[s]
            end = begin + seconds[s]
            if end > due[s]:
                overdue += end - due[s]
            moved += move[s]
            ready[i] = end + rest[s]
            row, move = set_up[s], plates[s]
        self.nodes += len(order) - since
        return (
            ready, done, [end], [row], [move], held, reach, max(end, finish), overdue, waited, eyes, moved
        )  # fmt: skip

    def _many(self, order: list[int], since: int, marks: list[_Mark] | None, dare: float) -> _Mark | None:
        t, w, clash = self.t, self.weights, self._clash
        sets, seconds, rest, cold, due, set_up, plates = t.sets, t.seconds, t.rest, t.cold, t.due, t.set_up, t.moved
        tail, closing, hurry, slow, warm, handle = t.tail, w.closing, w.late, w.finish, w.waited, w.moved
        ready, done, free, rows, moves, held, reach, finish, overdue, waited, eyes, moved = self._marks[since]
        ready, done, free, rows, moves, held = ready[:], done[:], free[:], rows[:], moves[:], held[:]
        sharing = clash is not None or self._eyes
        for n in range(since, len(order)):
            if marks is not None and n > since:
                marks.append(
                    (
                        ready[:], done[:], free[:], rows[:], moves[:], held[:], reach, finish, overdue, waited,
                        eyes, moved,
                    )
                )  # fmt: skip
            i = order[n]
            s = sets[i][done[i]]
            done[i] += 1
            rested, place, begin, before = ready[i], -1, 0, 0
            for p in t.where[s]:
                could = rows[p][s]
                start = free[p] + could
                if start < rested:
                    start = rested
                if clash is not None:
                    start = clear(held, p, start, could, seconds[s], clash[t.rig[s]])
                if place < 0 or start < begin or (start == begin and could < before):
                    place, begin, before = p, start, could
            late = begin - rested - cold[s]
            if late > 0:
                waited += late
            end = begin + seconds[s]
            if sharing:
                if t.eyes[s] and self._eyes:
                    eyes += overlap(held, place, begin, end, t.eyes[s])
                held[place] = (begin, end, before, t.rig[s], t.eyes[s], held[place])
            free[place] = end
            if end > finish:
                finish = end
            if end > due[s]:
                overdue += end - due[s]
            moved += moves[place][s]
            ready[i] = end + rest[s]
            rows[place], moves[place] = set_up[s], plates[s]
            soonest = begin + tail[s]
            if soonest > reach:
                reach = soonest
            elif late <= 0:
                continue
            if marks is None:
                cost = slow * reach + warm * waited + handle * moved
                if (cost + hurry * (reach - closing) if reach > closing else cost) > dare:
                    self.nodes += n + 1 - since
                    return None
        self.nodes += len(order) - since
        return ready, done, free, rows, moves, held, reach, finish, overdue, waited, eyes, moved
