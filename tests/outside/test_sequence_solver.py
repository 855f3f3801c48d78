"""The least moves over a sequence of loads beside a general constraint solver: OR-tools CP-SAT.

Computed in the test, on invented gyms: what either of them finds, the other
must find too. The solver is asked for the disc that `stacks.build` gives a pull.
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

import pytest

from floor.core.gym import FULL_SIZE_MM, Bar, Gym, Plate
from floor.core.sequence import SequencePlan, Step, least_moves
from floor.core.stacks import Stack, build, nearest
from tests.outside.stack_solver import Evening, disc_rank

MASSES = (2500, 2000, 1500, 1000, 500, 250, 200, 150, 125, 100, 50)
COUNT = 200


@dataclass
class Question:
    gym: Gym
    steps: list[Step]
    now: Stack
    taken: dict[str, int]
    habits: dict[tuple[str, int], Stack]
    habit_cost: int

    def discs(self) -> list[int]:
        return [max((disc_rank(self.gym.plate(p)) for p in self.built(s)), default=0) if s.from_floor else 0
                for s in self.steps]  # fmt: skip

    def built(self, step: Step) -> Stack:
        built = build(self.gym, step.load, step.bar, self.taken, step.from_floor)
        assert isinstance(built, tuple)
        return built


def question(seed: int) -> Question:
    """Finite plates of 5 to 12 kinds, two bars, 4 to 14 sets, some of them pulls; for odd seeds a habit each load."""
    rng = Random(seed)
    masses = sorted(rng.sample(MASSES, rng.randint(4, 11)), reverse=True)
    plates = [
        Plate(f"{m}", m, rng.randint(1, 3), FULL_SIZE_MM if m >= 1000 else 200, rng.randint(9, 12) + m // 50,
              m >= 1000 and rng.random() < 0.8)
        for m in masses
    ]  # fmt: skip
    plates.append(Plate("5T", 500, rng.randint(1, 2), FULL_SIZE_MM, 25))
    bars = (Bar("20", "20", 2000, rng.choice([200, 415]), 1), Bar("15", "15", 1500, 320, 1))
    gym = Gym(plates=tuple(plates), bars=bars, collar=rng.choice([0, 250]))
    taken = {p.id: 1 for p in plates if rng.random() < 0.2}
    pool = []
    for _ in range(rng.randint(3, 7)):
        bar, from_floor = rng.choice(["20", "20", "20", "15"]), rng.random() < 0.3
        load, _ = nearest(gym, rng.randrange(2000, 14000, 50), bar, taken, from_floor)
        pool.append(Step(bar, load, from_floor))
    steps = [rng.choice(pool) for _ in range(rng.randint(4, 14))]
    now = nearest(gym, rng.randrange(2000, 9000, 50), "20", taken)[1]
    other = {p.id: 2 for p in plates if rng.random() < 0.3}
    habits = {
        (s.bar, s.load): stack
        for s in pool
        if isinstance(stack := build(gym, s.load, s.bar, other, s.from_floor), tuple)
    }
    habits |= {(s.bar, s.load): ("gone",) for s in pool if (s.bar, s.load) not in habits}
    return Question(gym, steps, now, taken, habits if seed % 2 else {}, rng.randint(1, 3) if seed % 2 else 0)


def both(q: Question) -> tuple[int, int]:
    plan = least_moves(q.gym, q.steps, "20", q.now, q.taken, q.habits, q.habit_cost)
    assert isinstance(plan, SequencePlan)
    solver = Evening(q.gym, q.steps, "20", q.now, q.taken, q.discs(), q.habits, q.habit_cost)
    return plan.moves + q.habit_cost * plan.unlike, solver.least()


@pytest.mark.parametrize("seed", range(COUNT))
def test_the_least_moves_are_the_solvers(seed: int) -> None:
    ours, solvers = both(question(seed))
    assert ours == solvers


def test_the_questions_are_not_all_alike() -> None:
    asked = [question(seed) for seed in range(COUNT)]
    assert {len(q.gym.plates) for q in asked} >= set(range(5, 13))
    assert sum(len({s.bar for s in q.steps}) == 2 for q in asked) > 50
    assert sum(any(q.discs()) for q in asked) > 50
    dearer = 0
    for q in asked:
        free = least_moves(q.gym, q.steps, "20", q.now, q.taken)
        assert isinstance(free, SequencePlan)
        each, bar, on = 0, "20", q.now
        for step in q.steps:
            stack = q.built(step)
            same = next((i for i, (a, b) in enumerate(zip(on, stack, strict=False)) if a != b),
                        min(len(on), len(stack))) if bar == step.bar else 0  # fmt: skip
            each, bar, on = each + len(on) + len(stack) - 2 * same, step.bar, stack
        dearer += each > free.moves
    assert dearer > 50
