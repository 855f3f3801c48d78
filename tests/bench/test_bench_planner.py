"""What a plan is worth and what it costs: against the optimum, the solver, the rising bar and the rotation."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from statistics import mean

import pytest

from floor.core.planner import FIRST, REFINED, Chain, Evening, Place, plan
from tests.bench.benching import milliseconds, report, timed
from tests.core.planner.evenings import linked_evening
from tests.outside.platform_evenings import best_known, evening_of
from tests.outside.random_groups import group


def per_cent(values: list[float]) -> str:
    return f"{mean(values):+.2f} %"


@pytest.mark.bench
def test_how_far_a_plan_is_from_the_best_there_is() -> None:
    rows = [("lifters", "groups", "beside", "first mean", "first worst", "refined mean", "refined worst", "proven")]
    refined_gaps: dict[int, list[float]] = {}
    for many in range(2, 7):
        groups = [g for g in best_known() if len(g["lifters"]) == many]
        gaps: dict[int, list[float]] = {FIRST: [], REFINED: []}
        proven = 0
        for one in groups:
            best = one["optimum"] if many <= 3 else one["finish"]
            for budget, found in gaps.items():
                made = plan(evening_of(one), budget)
                found.append(100 * (made.finish / best - 1))
            proven += made.proven
        first, refined = gaps[FIRST], gaps[REFINED]
        rows.append(
            (
                str(many), str(len(groups)), "optimum" if many <= 3 else "solver", per_cent(first),
                f"{max(first):+.2f} %", per_cent(refined), f"{max(refined):+.2f} %", f"{proven}",
            )
        )  # fmt: skip
        refined_gaps[many] = refined
    times = sorted({round(g["seconds"]) for g in best_known() if len(g["lifters"]) > 3})
    report(f"Finish against the proven optimum, or CP-SAT's best, one worker, {times} s of the processor", rows)
    assert mean(refined_gaps[2] + refined_gaps[3]) <= 0.1 and max(refined_gaps[2] + refined_gaps[3]) <= 0.5
    assert mean(refined_gaps[4]) <= 0.5
    assert mean(refined_gaps[5]) < 0 and mean(refined_gaps[6]) < 0


def nine_sets_each(number: int) -> Evening:
    """Six lifters of nine sets: a made group, its chains filled up with their last set."""
    made = evening_of(group(5 * number + 4))
    chains = tuple(Chain(c.name, c.sets + c.sets[-1:] * (9 - len(c.sets))) for c in made.chains)
    return Evening(chains, change=made.change, moved=made.moved, walk=made.walk)


def hall(stations: int) -> Evening:
    """That many stations of six lifters of nine sets, nobody going between them."""
    parts = [nine_sets_each(n) for n in range(stations)]
    size = max(len(part.change) for part in parts)
    change: list[tuple[int, ...]] = []
    chains = []
    for station, part in enumerate(parts):
        for row in part.change:
            before, behind = station * size, (stations - station) * size - len(row)
            change.append((0,) * before + row + (0,) * behind)
        change += [(0,) * (stations * size)] * (size - len(part.change))
        for chain in part.chains:
            sets = tuple(replace(one, stations=(station,), rig=one.rig + station * size) for one in chain.sets)
            chains.append(Chain(f"{chain.name} at {station}", sets))
    table = tuple(change)
    return Evening(tuple(chains), tuple(Place(str(p)) for p in range(stations)), table, table, parts[0].walk)


@pytest.mark.bench
def test_how_long_a_plan_takes() -> None:
    evenings = [nine_sets_each(n) for n in range(100)]
    eight = hall(8)
    linked = [linked_evening(n, open_floor=n % 2 == 1) for n in range(40)]
    rows = [("what", "plans", "median ms", "p99 ms", "aim")]
    for what, cases, budget, aim in (
        ("6 lifters x 9 sets, first", evenings, FIRST, "30 / 80"),
        ("6 lifters x 9 sets, refined", evenings[:20], REFINED, "-"),
        ("8 stations x 6 x 9, first", [eight] * 10, FIRST * 8, "-"),
        ("14 lifters, 3 linked stations, first", linked, FIRST, "-"),
        ("14 lifters, 3 linked stations, refined", linked[:5], REFINED, "-"),
        ("8 stations x 6 x 9, in the child", [eight] * 10, FIRST * 4, "300"),
    ):
        times = [timed(partial(plan, case, budget)) for case in cases]
        rows.append((what, str(len(times)), f"{milliseconds(times, 0.5):.1f}", f"{milliseconds(times, 0.99):.1f}", aim))
    report("Time for a plan, one core", rows)
