"""The trial's tables in words: means with 95 % intervals over lifters, and the rules against each peer."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from statistics import fmean, stdev

from floor.sim.trial_peers import PEERS, AlwaysAdd, Peer, UntilSharp, WhenMade
from floor.sim.trial_rules import ByTheRules
from floor.sim.trial_run import Tally

SAYS = (
    "A simulation of our own proves nothing about people: its lifters are invented, and so is every number in",
    "them. It finds rules that misbehave. Nothing here is advice about how much to lift.",
)
Z = 1.96
"""Normal 95 %: intervals are over lifters, who are drawn independently."""

Results = Mapping[str, Sequence[Tally]]
Counts = Callable[[Tally], float]

COLUMNS: tuple[tuple[str, str, Counts], ...] = (
    ("load gained, kg", "heaviest set with every rep made in the last 12 sessions, less the first load; all lifts",
     lambda t: t.gained),
    ("in form, kg", "the same, only sets within the form limit and without a fault to lighten or end",
     lambda t: t.in_form),
    ("stronger, kg", "hidden strength gained, all lifts", lambda t: t.stronger),
    ("misses", "reps not made", lambda t: t.misses),
    ("dangerous", "reps with a fault to lighten or end, seen or not", lambda t: t.dangerous),
    ("beyond form", "reps above the hidden form limit", lambda t: t.beyond),
    ("reps", "work reps tried", lambda t: t.reps),
)
"""Column head, what it counts for one lifter over all the weeks, and how."""

AGAINST: tuple[tuple[str, Counts], ...] = (
    ("load gained", lambda t: t.gained),
    ("in form", lambda t: t.in_form),
    ("misses", lambda t: t.misses),
    ("dangerous", lambda t: t.dangerous),
    ("beyond form", lambda t: t.beyond),
)
GAIN_AIM, LESS_AIM = 0.95, 0.5
"""The aim: at least so much of the load gained, at most so much of the misses and dangerous reps, of always add."""


def with_interval(values: Sequence[float], places: int = 1) -> str:
    """The mean and the half width of its 95 % interval, `12.3 ±0.4`."""
    if len(values) < 2:
        return f"{fmean(values):.{places}f}" if values else "-"
    return f"{fmean(values):.{places}f} ±{Z * stdev(values) / math.sqrt(len(values)):.{places}f}"


def ratio(ours: Sequence[float], theirs: Sequence[float]) -> tuple[float, float]:
    """The ratio of two means of the same lifters, and the half width of its 95 % interval (delta method).

    Both are infinite when theirs is nothing.
    """
    below = fmean(theirs)
    if below == 0:
        return math.inf, math.inf
    share = fmean(ours) / below
    left = [a - share * b for a, b in zip(ours, theirs, strict=True)]
    spread = stdev(left) if len(left) > 1 else 0.0
    return share, Z * spread / abs(below) / math.sqrt(len(left))


def table(rows: Sequence[Sequence[str]]) -> str:
    """Rows as text, the first row the head, the first column to the left."""
    widths = [max(len(row[n]) for row in rows) for n in range(len(rows[0]))]
    return "\n".join(
        "  ".join([row[0].ljust(widths[0]), *(c.rjust(w) for c, w in zip(row[1:], widths[1:], strict=True))]).rstrip()
        for row in rows
    )


def weeks_to_clean(tallies: Sequence[Tally], weeks: int) -> tuple[str, str]:
    """Mean weeks of the newcomers, who never got there counted as all the weeks; and how many those are."""
    new = [t for t in tallies if t.newcomer]
    took = [weeks if t.weeks_to_clean is None else t.weeks_to_clean for t in new]
    never = sum(t.weeks_to_clean is None for t in new)
    return with_interval(took), f"{never} of {len(new)}"


def by_policy(results: Results, weeks: int) -> str:
    """One row a policy: what a lifter's weeks came to."""
    rows = [("a lifter", *(head for head, _, _ in COLUMNS), "weeks to clean", "never")]
    for name, tallies in results.items():
        counted = [with_interval([count(t) for t in tallies]) for _, _, count in COLUMNS]
        rows.append((name, *counted, *weeks_to_clean(tallies, weeks)))
    return table(rows)


def legend() -> str:
    """What each column counts."""
    lines = [f"  {head}: {what}" for head, what, _ in COLUMNS]
    lines.append("  weeks to clean: newcomers' weeks until two sessions running with nothing to fix in any clean")
    lines.append("    from the floor; never: who did not get there, counted as all the weeks")
    return "\n".join(lines)


def against(results: Results) -> str:
    """The rules as per cent of each peer, with 95 % intervals of the ratios."""
    rows = [("the rules, % of", *(name for name, _ in AGAINST))]
    for peer in PEERS:
        cells = []
        for _, count in AGAINST:
            share, half = _share(results, count, peer)
            cells.append("-" if math.isinf(share) else f"{100 * share:.1f} ±{100 * half:.1f}")
        rows.append((peer, *cells))
    return table(rows)


ALTERED_ROW: tuple[tuple[str, type[Peer], Counts], ...] = (
    *((name, AlwaysAdd, count) for name, count in AGAINST),
    ("gained/sharp", UntilSharp, AGAINST[0][1]),
    ("gained/made", WhenMade, AGAINST[0][1]),
)
"""The columns of the altered assumptions: against always add, then the load gained against the other two."""
WIDE, COLUMN = 34, 14


def altered_head() -> str:
    """The head of the table of altered assumptions."""
    return " " * WIDE + "".join(head.rjust(COLUMN) for head, _, _ in ALTERED_ROW)


def altered_row(altered: str, results: Results) -> str:
    """One altered assumption: the rules as per cent of the peers, under the words of the head, and what was missed."""
    cells = []
    for _, peer, count in ALTERED_ROW:
        share, half = _share(results, count, peer.name)
        cells.append("-" if math.isinf(share) else f"{100 * share:.1f} ±{100 * half:.1f}")
    said = "  MISSED" if "MISSED" in aim(results) else ""
    return altered.ljust(WIDE) + "".join(cell.rjust(COLUMN) for cell in cells) + said


def _share(results: Results, count: Counts, peer: str) -> tuple[float, float]:
    return ratio([count(t) for t in results[ByTheRules.name]], [count(t) for t in results[peer]])


def aim(results: Results) -> str:
    """Whether the aim against always add was met, in a sentence; the whole interval has to be on the right side."""
    gain, misses, bad = (
        _share(results, count, AlwaysAdd.name)
        for count in (lambda t: t.gained, lambda t: t.misses, lambda t: t.dangerous)
    )
    parts = [
        ("load gained at least 95 %", gain[0] - gain[1] >= GAIN_AIM, gain[0] >= GAIN_AIM),
        ("misses halved", misses[0] + misses[1] <= LESS_AIM, misses[0] <= LESS_AIM),
        ("dangerous reps halved", bad[0] + bad[1] <= LESS_AIM, bad[0] <= LESS_AIM),
    ]
    words = {(True, True): "met", (False, True): "met by the mean, not by the whole interval"}
    said = [f"{name}: {words.get((whole, by_mean), 'MISSED')}" for name, whole, by_mean in parts]
    return "Aim against always add: " + "; ".join(said)


def faults_of_the_trial(results: Results) -> str:
    """What must be nothing whatever the assumptions: loads added over pain, loads that cannot be built."""
    over = {name: sum(t.added_over_pain for t in tallies) for name, tallies in results.items()}
    loads = {name: sum(t.unbuildable for t in tallies) for name, tallies in results.items()}
    return f"Loads added over pain: {sum(over.values())}. Loads that cannot be built: {sum(loads.values())}."


def rules_that_spoke(tallies: Sequence[Tally]) -> str:
    """How often each rule spoke, a lifter."""
    total: dict[str, int] = {}
    for tally in tallies:
        for rule, times in tally.said.items():
            total[rule] = total.get(rule, 0) + times
    rows = [("rule", "times a lifter")]
    rows += [(r, f"{n / len(tallies):.2f}") for r, n in sorted(total.items(), key=lambda x: (-x[1], x[0]))]
    return table(rows)
