"""The least plates moved over a sequence of loads, asked of OR-tools' CP-SAT solver (from the package index).

The model counts plates: no stack is enumerated and nothing of the search in
floor/core is used. Of two sets on one bar, the plates that can stay are equal
numbers of every kind from the inside out, up to the first kind that differs,
and the smaller number of that one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from ortools.sat.python import cp_model

from floor.core.gym import Gym, Plate
from floor.core.sequence import Step
from floor.core.stacks import Stack


def disc_rank(plate: Plate) -> int:
    """2 for a full-size disc that may be dropped, 1 for another full-size disc, 0 for the rest."""
    return plate.full_size * (2 if plate.droppable else 1)


class Evening:
    """A model of one evening; `least` solves it."""

    def __init__(
        self, gym: Gym, steps: Sequence[Step], now_bar: str, now_stack: Stack, taken: Mapping[str, int],
        discs: Sequence[int], habits: Mapping[tuple[str, int], Stack], habit_cost: int, first_is_habit: bool = False,
    ) -> None:  # fmt: skip
        """`discs` is the rank of disc each step must have; with `first_is_habit`, so is a load's first stack."""
        self.model = cp_model.CpModel()
        self.plates = sorted(gym.plates, key=lambda p: (-p.mass, -p.diameter, p.id))
        self.free = [max(0, p.pairs - taken.get(p.id, 0)) for p in self.plates]
        self.cost: list[cp_model.LinearExprT] = []
        on = Counter(now_stack)
        bar, counts = now_bar, [self.model.new_constant(on[p.id]) for p in self.plates]
        firsts: dict[tuple[str, int], list[cp_model.IntVar]] = {}
        for step, disc in zip(steps, discs, strict=True):
            then = self._set(gym, step, disc)
            self.cost += [*counts, *then]
            if bar == step.bar:
                self.cost += [-2 * k for k in self._stays(counts, then)]
            key = (step.bar, step.load)
            if key in habits:
                wanted = Counter(habits[key])
                if set(wanted) <= {p.id for p in self.plates}:
                    self._unlike(then, [self.model.new_constant(wanted[p.id]) for p in self.plates], habit_cost)
                else:
                    self.cost.append(self.model.new_constant(habit_cost))
            elif first_is_habit and firsts.setdefault(key, then) is not then:
                self._unlike(then, firsts[key], habit_cost)
            bar, counts = step.bar, then

    def _set(self, gym: Gym, step: Step, disc: int) -> list[cp_model.IntVar]:
        counts = [self.model.new_int_var(0, n, "") for n in self.free]
        mass = sum(2 * p.mass * n for p, n in zip(self.plates, counts, strict=True))
        self.model.add(mass == step.load - gym.bar(step.bar).mass - 2 * gym.collar)
        thick = sum(p.thickness * n for p, n in zip(self.plates, counts, strict=True))
        self.model.add(thick <= gym.bar(step.bar).sleeve)
        if disc:
            self.model.add(sum(n for p, n in zip(self.plates, counts, strict=True) if disc_rank(p) >= disc) >= 1)
        return counts

    def _stays(self, now: list[cp_model.IntVar], then: list[cp_model.IntVar]) -> list[cp_model.IntVar]:
        stays, inside = [], None
        for a, b, plate in zip(now, then, self.plates, strict=True):
            stay = self.model.new_int_var(0, max(plate.pairs, 0), "")
            self.model.add(stay <= a)
            self.model.add(stay <= b)
            same = self.model.new_bool_var("")
            self.model.add(a == b).only_enforce_if(same)
            if inside is not None:
                self.model.add(stay == 0).only_enforce_if(inside.negated())
                self.model.add_implication(same, inside)
            stays.append(stay)
            inside = same
        return stays

    def _unlike(self, counts: list[cp_model.IntVar], usual: list[cp_model.IntVar], cost: int) -> None:
        like = self.model.new_bool_var("")
        for a, b in zip(counts, usual, strict=True):
            self.model.add(a == b).only_enforce_if(like)
        self.cost.append(cost * (1 - like))

    def least(self, workers: int = 8) -> int:
        """The proven least moves, on one side, with what habits cost. AssertionError without a proof in a minute.

        Eight workers even on two cores: they search in different ways, and with
        two some questions stay without a proof.
        """
        self.model.minimize(sum(self.cost))
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = workers
        solver.parameters.max_time_in_seconds = 60
        status = solver.solve(self.model)
        assert status == cp_model.OPTIMAL, status
        return round(solver.objective_value)
