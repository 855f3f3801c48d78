"""What a plan saves beside the rising bar and the strict rotation: on one bar, and on whole evenings of a gym."""

from __future__ import annotations

from collections.abc import Callable
from statistics import mean

import pytest

from floor.core.planner import FIRST, Plan, by_rising, by_rotation, eyes_share, plan
from tests.bench.benching import report
from tests.core.planner.evenings import linked_evening
from tests.outside.platform_evenings import evening_of
from tests.outside.random_groups import group

SIMULATED = 1000
PEERS: tuple[tuple[str, Callable[[Plan], Plan]], ...] = (
    ("rising bar", lambda made: by_rising(made.evening)),
    ("rising bar, passing", lambda made: by_rising(made.evening, passing=True)),
    ("rotation", lambda made: by_rotation(made.evening)),
)
HEAD = ("beside", "on", "evenings", "minutes", "% of the evening", "plates %", "set-up minutes", "waited min a lifter")


def spread(values: list[float]) -> str:
    """The mean, and what a twentieth lie below and above."""
    inorder = sorted(values)
    cut = len(inorder) // 20
    return f"{mean(values):.1f} ({inorder[cut]:.1f} to {inorder[-1 - cut]:.1f})"


def saved(pairs: list[tuple[Plan, Plan]]) -> tuple[str, ...]:
    """What the first of each pair saves beside the second, spread."""
    return (
        str(len(pairs)),
        spread([(b.finish - a.finish) / 60 for a, b in pairs]),
        spread([100 * (1 - a.finish / b.finish) for a, b in pairs]),
        spread([100 * (1 - a.moved / b.moved) for a, b in pairs if b.moved]),
        spread([(b.set_up - a.set_up) / 60 for a, b in pairs]),
        spread([(b.waited - a.waited) / 60 / len(a.evening.chains) for a, b in pairs]),
    )


@pytest.mark.bench
def test_what_a_plan_saves_on_a_thousand_groups_that_share_one_bar() -> None:
    results: dict[tuple[str, str], list[tuple[Plan, Plan]]] = {}
    for number in range(1000, 1000 + SIMULATED):
        ours = plan(evening_of(group(number)), FIRST)
        for name, peer in PEERS:
            theirs = peer(ours)
            assert ours.finish <= theirs.finish
            results.setdefault((name, f"{len(ours.evening.chains)} lifters"), []).append((ours, theirs))
            results.setdefault((name, "all"), []).append((ours, theirs))
    rows = [HEAD, *((*key, *saved(pairs)) for key, pairs in sorted(results.items()))]
    report("One bar, saved by the first plan: mean (5 % below, 5 % above)", rows)


@pytest.mark.bench
def test_what_a_plan_saves_on_a_thousand_whole_evenings_and_how_much_of_it_the_coach_sees() -> None:
    """6 to 14 lifters, three lifts each, three stations, 90 minutes; half with a station to each lift."""
    results: dict[tuple[str, str], list[tuple[Plan, Plan]]] = {}
    shares: dict[str, list[tuple[float, int]]] = {}
    for number in range(SIMULATED):
        opened = number % 2 == 1
        evening = linked_evening(10_000 + number, lifters=6 + number // 2 % 9, open_floor=opened)
        ours = plan(evening, FIRST)
        played = [("plan", ours), *((name, peer(ours)) for name, peer in PEERS)]
        for name, theirs in played[1:]:
            assert ours.late <= theirs.late
            results.setdefault((name, "stations for all" if opened else "a station a lift"), []).append((ours, theirs))
            results.setdefault((name, "all"), []).append((ours, theirs))
        for name, one in played:
            share = eyes_share(one)
            if share is not None:
                shares.setdefault(name, []).append((100 * share, one.at_once))
    rows = [HEAD, *((*key, *saved(pairs)) for key, pairs in sorted(results.items()))]
    report("Whole evenings, saved by the first plan: mean (5 % below, 5 % above)", rows)
    seen = [("order", "evenings", "eyes-on sets seen, % by weight", "seconds at once, by weight")]
    for name, found in shares.items():
        seen.append((name, str(len(found)), spread([s for s, _ in found]), spread([float(n) for _, n in found])))
    report("What one coach can stand at", seen)
