"""The least moves over a sequence of loads: milliseconds beside a constraint solver, and plates beside two peers."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from random import Random
from statistics import mean

import pytest

from floor.core import fewest, ways
from floor.core.gym import Gym
from floor.core.ladder import WITHIN
from floor.core.sequence import SequencePlan, Step, least_moves
from floor.core.stacks import Stack, nearest
from floor.sim.plates import ORDERS, RISING, ROTATION, STOCKS, TRIAL_SEEDS, PlateEvening, lifters_of, plate_evening
from tests.bench.benching import milliseconds, report, timed
from tests.bench.stack_peers import (
    ahead,
    built_anew,
    fewest_each_time,
    largest_first,
    moves,
    whole_evening,
    with_better_ramps,
    with_interval,
)
from tests.outside.stack_solver import Evening
from tests.outside.test_sequence_solver import question

SETS, SEQUENCES = 40, 100
HORIZON, HABIT_COST = 12, 2
Sequences = list[tuple[Gym, str, tuple[int, ...]]]


def everything_there() -> Sequences:
    """The first 40 loads of trial evenings at the gym with eleven kinds, on its whole stock."""
    found: Sequences = []
    for evening in map(plate_evening, TRIAL_SEEDS):
        if len(evening.plates) == 11 and len(found) < SEQUENCES:
            gym = Gym(plates=STOCKS[0].plates, bars=(evening.bar,))
            found += [(gym, evening.bar.id, o[:SETS]) for o in evening.orders.values() if len(o) >= SETS]
    return found[:SEQUENCES]


def all_unlike() -> Sequences:
    """40 loads drawn by lot from 20 to 200 kg on the long bar: hardly one met twice, no two lifters alike."""
    gym = Gym(plates=STOCKS[0].plates, bars=(STOCKS[0].bars[0],))
    rng = Random(40)
    return [
        (gym, "20", tuple(nearest(gym, rng.randrange(2000, 20000, 100), "20")[0] for _ in range(SETS)))
        for _ in range(SEQUENCES)
    ]


@pytest.mark.bench
@pytest.mark.parametrize(("sequences", "to_solve"), [(everything_there, 20), (all_unlike, 3)])
def test_forty_sets_beside_the_solver(sequences: Callable[[], Sequences], to_solve: int) -> None:
    cold: list[float] = []
    warm: list[float] = []
    beside: list[float] = []
    solver: list[float] = []
    unproven = 0
    for n, (gym, bar, loads) in enumerate(sequences()):
        steps = [Step(bar, load) for load in loads]
        ask = partial(least_moves, gym, steps, bar, ())
        ways.ways.cache_clear()
        fewest.fewest_stack.cache_clear()
        cold.append(timed(ask))
        warm += [timed(ask) for _ in range(5)]
        if n < to_solve:
            answer: list[int] = []
            took = timed(lambda: answer.append(solved(gym, bar, steps)))  # noqa: B023
            plan = ask()
            assert isinstance(plan, SequencePlan)
            if answer[0] < 0:
                unproven += 1
            else:
                assert answer[0] == plan.moves
            solver.append(took)
            beside.append(timed(ask))
    report(
        f"Least moves over {SETS} sets, 11 kinds of plates, every stack there is: {sequences.__name__}",
        [
            ("", "count", "median ms", "p99 ms", "worst ms"),
            *(
                (name, str(len(took)), f"{milliseconds(took, 0.5):.2f}", f"{milliseconds(took, 0.99):.2f}",
                 f"{1000 * max(took):.2f}")
                for name, took in (
                    ("warm", warm), ("cold: plates never seen before", cold), ("CP-SAT", solver),
                    ("warm, the same ones", beside),
                )
            ),
        ],
    )  # fmt: skip
    ratios = sorted(a / b for a, b in zip(solver, beside, strict=True))
    print(f"CP-SAT / warm: median {ratios[len(ratios) // 2]:.0f}, least {ratios[0]:.0f}; equal moves every time it "
          f"had a proof, without one in a minute {unproven} of {len(solver)} (counted with the minute)")  # fmt: skip


def solved(gym: Gym, bar: str, steps: Sequence[Step]) -> int:
    """The solver's least moves, or -1 without a proof in a minute."""
    try:
        return Evening(gym, steps, bar, (), {}, [0] * len(steps), {}, 0).least()
    except AssertionError:
        return -1


@pytest.mark.bench
def test_habits_of_the_evening_itself_beside_the_solver() -> None:
    """Where a load's habit is its own first set the search is a local one: how far from the least."""
    over: list[float] = []
    for seed in range(0, 200, 2):
        q = question(seed)
        plan = least_moves(q.gym, q.steps, "20", q.now, q.taken, {}, HABIT_COST)
        assert isinstance(plan, SequencePlan)
        least = Evening(
            q.gym, q.steps, "20", q.now, q.taken, q.discs(), {}, HABIT_COST, first_is_habit=True
        ).least()
        over.append((plan.moves + HABIT_COST * plan.unlike - least) / max(1, least))
    assert min(over) >= 0
    print(f"\nHabits of the evening itself at {HABIT_COST} moves: the least in {over.count(0)} of {len(over)}, "
          f"mean {100 * mean(over):.2f} % over, worst {100 * max(over):.1f} %")  # fmt: skip


WAYS: dict[str, Callable[[Gym, str, Sequence[int]], Sequence[Stack]]] = {
    "largest first": largest_first,
    "fewest plates each time": fewest_each_time,
    "least moves, whole evening": whole_evening,
    f"{HORIZON} sets ahead": lambda *a: list(ahead(*a, HORIZON, 0)),
    f"{HORIZON} sets ahead, habit {HABIT_COST}": lambda *a: list(ahead(*a, HORIZON, HABIT_COST)),
}


@pytest.mark.bench
def test_plates_moved_over_the_trial_evenings() -> None:
    rows = [("order, way", "plates an evening", "fewer than fewest, %", "fewer than largest first, %", "of all plates",
             "otherwise than last time, %")]  # fmt: skip
    evenings = [plate_evening(seed) for seed in TRIAL_SEEDS]
    for order in (ROTATION, RISING):
        moved: dict[str, list[int]] = {}
        for name, way in WAYS.items():
            again = otherwise = 0
            moved[name] = []
            for evening in evenings:
                loads = evening.orders[order]
                chosen = way(gym_of(evening), evening.bar.id, loads)
                moved[name].append(moves(evening.bar.id, chosen))
                more, unlike = built_anew(loads, chosen)
                again, otherwise = again + more, otherwise + unlike
            largest, fewest = moved["largest first"], moved.get("fewest plates each time")
            rows.append((
                f"{order}, {name}", f"{mean(moved[name]):.1f}",
                against(moved[name], fewest) if fewest else "",
                against(moved[name], largest),
                f"{100 * (1 - sum(moved[name]) / sum(largest)):.1f}",
                f"{100 * otherwise / again:.1f}",
            ))
        least = moved["least moves, whole evening"]
        assert all(a <= b for name in moved for a, b in zip(least, moved[name], strict=True))
    report("Plates moved on one side, 1,000 simulated evenings; mean reduction and 95 % interval over evenings", rows)


@pytest.mark.bench
def test_plates_moved_when_the_shared_ramp_is_chosen_too() -> None:
    """Everybody's ramp sets stay as many, in the same order of lifters; only the shared rungs move, all together."""
    rows = [("order", "fewer than fewest, %", "fewer than largest first, %", "fewer than the same ramp's least, %")]
    for name, order in ORDERS.items():
        fewest, largest, least, chosen = [], [], [], []
        for seed in TRIAL_SEEDS:
            gym, lifters = lifters_of(seed)
            bar, loads = gym.bars[0].id, [s.load for s in order(lifters)]
            fewest.append(moves(bar, fewest_each_time(gym, bar, loads)))
            largest.append(moves(bar, largest_first(gym, bar, loads)))
            before, after = with_better_ramps(gym, lifters, order)
            least.append(before)
            chosen.append(after)
        rows.append((name, against(chosen, fewest), against(chosen, largest), against(chosen, least)))
    report(f"Plates moved, 1,000 simulated evenings, shared ramp loads moved by {WITHIN} % at most", rows)


@pytest.mark.bench
def test_plates_moved_by_kind_of_gym() -> None:
    rows = [("kinds, unit, order", "evenings", "fewer than fewest, %", "fewer than largest first, %")]
    kinds: dict[str, list[PlateEvening]] = {}
    for evening in map(plate_evening, TRIAL_SEEDS):
        name = f"{len(evening.plates)} {evening.unit} from {evening.plates[0].id}"
        kinds.setdefault(name, []).append(evening)
    for name, evenings in sorted(kinds.items()):
        for order in (ROTATION, RISING):
            asked = [(gym_of(e), e.bar.id, e.orders[order]) for e in evenings]
            least, fewest, largest = (
                [moves(bar, way(gym, bar, loads)) for gym, bar, loads in asked]
                for way in (whole_evening, fewest_each_time, largest_first)
            )
            rows.append((f"{name}, {order}", str(len(evenings)), against(least, fewest), against(least, largest)))
    report("Least moves by kind of gym", rows)


def gym_of(evening: PlateEvening) -> Gym:
    return Gym(unit=evening.unit, plates=evening.plates, bars=(evening.bar,))


def against(ours: Sequence[int], theirs: Sequence[int]) -> str:
    """The mean over evenings of the share of plates not moved, with its interval."""
    return with_interval([1 - a / b for a, b in zip(ours, theirs, strict=True)])
