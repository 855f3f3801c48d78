"""The optimum of a small random group by looking at everything. Written apart from floor's planner, and slow."""

from __future__ import annotations

from tests.outside.random_groups import Group, round_the_lifters, set_up


def optimum(group: Group, limit: int | None = None) -> int:
    """The earliest finish there is; `limit` is a finish already known, which spares much of the work.

    All prefixes of all orders, set by set. Of prefixes with the same sets done and
    the same lifter last, one is left out when another has the bar and every
    lifter free no later; and any whose longest chain, or what is left for the bar
    with the least change before each set, goes past the limit.
    """
    lifters = group["lifters"]
    people = range(len(lifters))
    starts = round_the_lifters(group)
    limit = min(limit or 10**9, max(at + lifters[i][k][0] for (i, k), at in starts.items()))
    sets = [(i, k) for i in people for k in range(len(lifters[i]))]
    busy = [[0] * (len(chain) + 1) for chain in lifters]
    for i, k in reversed(sets):
        gaps = [set_up(group, a, (i, k)) for a in sets if a[0] != i]
        gaps.append(max(lifters[i][k - 1][1], set_up(group, (i, k - 1), (i, k))) if k else 0)
        busy[i][k] = busy[i][k + 1] + lifters[i][k][0] + min(gaps)
    to_go = [
        [sum(s[0] for s in chain[k:]) + sum(s[1] for s in chain[k:-1]) for k in range(len(chain) + 1)]
        for chain in lifters
    ]
    level: dict[tuple[tuple[int, ...], int], list[tuple[int, tuple[int, ...]]]]
    level = {(tuple(0 for _ in people), -1): [(0, tuple(0 for _ in people))]}
    for _ in range(sum(len(chain) for chain in lifters)):
        after: dict[tuple[tuple[int, ...], int], list[tuple[int, tuple[int, ...]]]] = {}
        for (done, last), fronts in level.items():
            for i in people:
                k = done[i]
                if k == len(lifters[i]):
                    continue
                gap = set_up(group, (last, done[last] - 1), (i, k)) if last >= 0 else 0
                seconds, rest, _ = lifters[i][k]
                now = done[:i] + (k + 1,) + done[i + 1 :]
                kept = after.setdefault((now, i), [])
                for free, rested in fronts:
                    end = max(free + gap, rested[i]) + seconds
                    if end + sum(busy[j][now[j]] for j in people) > limit:
                        continue
                    ready = rested[:i] + (end + rest,) + rested[i + 1 :]
                    if any(max(ready[j], end) + to_go[j][now[j]] > limit for j in people if now[j] < len(lifters[j])):
                        continue
                    if any(e <= end and all(a <= b for a, b in zip(r, ready, strict=True)) for e, r in kept):
                        continue
                    kept[:] = [
                        (e, r) for e, r in kept if not (end <= e and all(a <= b for a, b in zip(ready, r, strict=True)))
                    ]
                    kept.append((end, ready))
        level = {key: kept for key, kept in after.items() if kept}
    return min(end for fronts in level.values() for end, _ in fronts)
