"""A finish no plan can beat."""

from __future__ import annotations

from floor.core.planner.tables import Tables


def lower_bound(t: Tables) -> int:
    """The latest of: every lifter's own chain, and every station's sets that can be done nowhere else.

    For a station: of any sets that cannot start before some moment and have some
    time still to go after them, the moment, their seconds with the least set-up
    each, and that time. Seconds; the true optimum can be later.
    """
    best = 0
    heads, tails = [0] * len(t.seconds), [0] * len(t.seconds)
    for chain, sets in zip(t.evening.chains, t.sets, strict=True):
        ready = chain.ready
        for s in sets:
            head = max(ready, min(t.evening.places[p].free + t.lead[s] for p in t.where[s]))
            heads[s], tails[s] = head, t.tail[s] - t.seconds[s]
            best = max(best, head + t.tail[s])
            ready = head + t.seconds[s] + t.rest[s]
    for place in range(len(t.evening.places)):
        here = [s for s in range(len(t.seconds)) if t.where[s] == (place,)]
        # A set-up may be done before its lifter is rested, so a set holds the bar from `lead` before its start.
        here.sort(key=lambda s: t.lead[s] - heads[s])
        for n in range(len(here)):
            opens = heads[here[n]] - t.lead[here[n]]
            busy = 0
            for s in sorted(here[: n + 1], key=lambda s: -tails[s]):
                busy += t.lead[s] + t.seconds[s]
                best = max(best, opens + busy + tails[s])
    return best
