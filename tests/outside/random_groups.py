"""Seeded groups that share one bar, and a constraint solver's model of them. Knows nothing of floor's own code.

A group is plain data: for each lifter the sets as [seconds, rest, stack], the
stacks as lists of plates (innermost first, one sleeve) behind the bar's mass.
"""

from __future__ import annotations

import random
import threading
import time
from itertools import pairwise
from typing import Any

WALK = 10
"""Seconds for another lifter to step on."""
PLATE = 6
"""Seconds for each plate taken off or put on a sleeve; two pairs of hands do both sides."""
BAR = 30
"""Seconds to change the bar, beside the plates."""
SEED = 20260704
COUNT = 100
PLATES = (25.0, 20.0, 15.0, 10.0, 5.0, 2.5, 1.25)

Group = dict[str, Any]


def stack_for(load: float, bar: float) -> list[float]:
    """Bar, then plates heaviest first."""
    side, stack = (load - bar) / 2, [bar]
    for plate in PLATES:
        while side >= plate:
            stack.append(plate)
            side -= plate
    return stack


def change_seconds(now: list[float], then: list[float]) -> int:
    """Last on, first off; a change of bar takes every plate off."""
    keep = 0
    if now[0] == then[0]:
        keep = 1
        while keep < min(len(now), len(then)) and now[keep] == then[keep]:
            keep += 1
    plates = len(now) + len(then) - 2 * max(keep, 1)
    return PLATE * plates + (BAR if keep == 0 else 0)


def group(number: int) -> Group:
    """Two to six lifters in turn, each with three or four ramp sets and the rest work: seven to nine sets."""
    chance = random.Random(SEED * 1000 + number)
    stacks: list[list[float]] = []
    lifters = []
    for _ in range(2 + number % 5):
        bar = 15.0 if chance.random() < 0.2 else 20.0
        top = bar + 5 * chance.randint(4, 20)
        many, ramps = chance.randint(7, 9), chance.randint(3, 4)
        shares = [0.0, 0.5, 0.7, 0.85][:ramps] if ramps == 4 else [0.0, 0.55, 0.8]
        loads = [bar + 5 * round(share * (top - bar) / 5) for share in shares] + [top] * (many - ramps)
        rest = chance.choice([120, 150, 180, 210])
        sets = []
        for n, load in enumerate(loads):
            stack = stack_for(load, bar)
            if stack not in stacks:
                stacks.append(stack)
            ramp = n < ramps
            seconds = chance.randint(20, 35) if ramp else chance.randint(28, 50)
            sets.append([seconds, chance.choice([45, 60, 75]) if ramp else rest, stacks.index(stack)])
        lifters.append(sets)
    return {"number": number, "lifters": lifters, "stacks": stacks}


def set_up(group: Group, a: tuple[int, int], b: tuple[int, int]) -> int:
    """Seconds between set a and set b, each (lifter, set), when b follows a on the bar."""
    stack = [group["stacks"][group["lifters"][who][no][2]] for who, no in (a, b)]
    return change_seconds(*stack) + (WALK if a[0] != b[0] else 0)


def round_the_lifters(group: Group) -> dict[tuple[int, int], int]:
    """When each set starts when the lifters simply go round: a place for the solver to begin."""
    starts: dict[tuple[int, int], int] = {}
    free, last = 0, None
    rested = [0] * len(group["lifters"])
    for k in range(max(len(chain) for chain in group["lifters"])):
        for i, chain in enumerate(group["lifters"]):
            if k < len(chain):
                begin = max(rested[i], free + (set_up(group, last, (i, k)) if last else 0))
                starts[i, k], free, last = begin, begin + chain[k][0], (i, k)
                rested[i] = free + chain[k][1]
    return starts


def solve(group: Group, seconds: float) -> tuple[int, int, bool]:
    """The finish time, its proven lower bound and whether it is the optimum, by CP-SAT with one worker.

    The seconds are of the processor and not of the wall, so that a busy machine gives it no less.
    """
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    sets = [(i, k) for i, chain in enumerate(group["lifters"]) for k in range(len(chain))]
    turns = round_the_lifters(group)
    horizon = max(turns[i, k] + group["lifters"][i][k][0] for i, k in sets)
    start = {a: model.new_int_var(0, horizon, f"s{a}") for a in sets}
    length = {a: group["lifters"][a[0]][a[1]][0] for a in sets}
    node = {a: n + 1 for n, a in enumerate(sets)}
    finish = model.new_int_var(0, horizon, "finish")
    model.add_hint(finish, horizon)
    arcs = []
    order = sorted(sets, key=turns.__getitem__)
    after = dict(pairwise(order))
    for a in sets:
        model.add_hint(start[a], turns[a])
        opens, ends = model.new_bool_var(""), model.new_bool_var("")
        model.add_hint(opens, a == order[0])
        model.add_hint(ends, a == order[-1])
        arcs += [(0, node[a], opens), (node[a], 0, ends)]
        model.add(finish >= start[a] + length[a])
        if (a[0], a[1] + 1) in start:
            model.add(start[a[0], a[1] + 1] >= start[a] + length[a] + group["lifters"][a[0]][a[1]][1])
        for b in sets:
            if a[0] == b[0] and b[1] != a[1] + 1:
                continue
            follows = model.new_bool_var("")
            model.add_hint(follows, after.get(a) == b)
            arcs.append((node[a], node[b], follows))
            model.add(start[b] >= start[a] + length[a] + set_up(group, a, b)).only_enforce_if(follows)
    model.add_circuit(arcs)
    model.add_no_overlap([model.new_fixed_size_interval_var(start[a], length[a], "") for a in sets])
    # The bar is busy with sets and the set-ups between them: a bound the search can use.
    model.add(
        finish
        >= sum(length.values())
        + sum(
            set_up(group, a, b) * follows
            for tail, head, follows in arcs
            if tail and head
            for a, b in [(sets[tail - 1], sets[head - 1])]
        )
    )
    model.minimize(finish)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.interleave_search = True
    solver.parameters.random_seed = 1
    done = threading.Event()
    watch = threading.Thread(target=_stop_after, args=(solver, seconds, done))
    watch.start()
    status = solver.solve(model)
    done.set()
    watch.join()
    assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE), solver.status_name(status)
    return round(solver.objective_value), round(solver.best_objective_bound), status == cp_model.OPTIMAL


def _stop_after(solver: Any, seconds: float, done: threading.Event) -> None:
    """Stop the search when this process has used that much of a processor since now."""
    began = time.process_time()
    while not done.wait(0.05):
        if time.process_time() - began >= seconds:
            solver.stop_search()
