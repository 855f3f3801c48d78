"""The stacks for a sequence of loads at one station that move the fewest plates. Exact.

Every stack that can be built is a candidate, in the order in which
`stacks.build` puts plates on (heavier inside); a sleeve is last in, first out.
Counted are plates moved on one side, as `stacks.change` counts them. How, and
why nothing is lost on the way: `stays`.

Of equal moves: the fewest plates on the sleeve, summed over the sets; then, set
by set from the first, heavier inside, mass by mass; then as `build` chooses.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from floor.core.gym import Gym
from floor.core.stacks import NONE_TAKEN, CannotBuild, Stack, build, change, load_of
from floor.core.stays import MOVE, Run, tails
from floor.core.ways import ROOT, Wanted, Ways, ways

Habits = Mapping[tuple[str, int], Stack]
NO_HABITS: Habits = {}


@dataclass(frozen=True, slots=True)
class Step:
    """One set's bar and load, in hundredths; `from_floor` asks for full-size discs as `stacks.build` does."""

    bar: str
    load: int
    from_floor: bool = False


@dataclass(frozen=True, slots=True)
class SequencePlan:
    """A stack for each step, the plates moved on one side, and how many sets are built against a habit."""

    stacks: tuple[Stack, ...]
    moves: int
    unlike: int = 0


def all_fewest(
    gym: Gym, load: int, bar_id: str, taken: Mapping[str, int] = NONE_TAKEN, lift_from_floor: bool = False
) -> tuple[Stack, ...] | CannotBuild:
    """Every stack of that load with the fewest plates, the one that `build` chooses first."""
    built = build(gym, load, bar_id, taken, lift_from_floor)
    if isinstance(built, CannotBuild):
        return built
    step = Step(bar_id, load, lift_from_floor)
    found = _ways(gym, bar_id, taken).all_fewest(_wanted(gym, step, built))
    choice = _Choice(gym)
    return tuple(sorted(found, key=lambda s: choice.rank(s, lift_from_floor)))


def least_moves(
    gym: Gym,
    steps: Sequence[Step],
    now_bar: str,
    now_stack: Stack,
    taken: Mapping[str, int] = NONE_TAKEN,
    habits: Habits = NO_HABITS,
    habit_cost: int = 0,
) -> SequencePlan | CannotBuild:
    """The stacks with the fewest moves from what is on the bar now; why, at the first load that cannot be built.

    `habits` is how each (bar, load) was built before at this station: a set
    built otherwise counts `habit_cost` moves more. Exact for the habits given.
    A load without one takes the habit of its first set here, and for that the
    answer is a local search's: no worse than leaving those loads free, not
    always the best. `moves` never includes the cost of habits.
    """
    built: dict[Step, Stack] = {}
    for step in dict.fromkeys(steps):
        answer = build(gym, step.load, step.bar, taken, step.from_floor)
        if isinstance(answer, CannotBuild):
            return answer
        built[step] = answer
    task = _Task(gym, tuple(steps), now_bar, now_stack, taken, built, habits, max(0, habit_cost))
    best = trial = task.planned(habits)
    tried = [dict(habits)]
    while task.habit_cost and (assumed := task.with_firsts(trial.stacks)) not in tried:
        tried.append(assumed)
        trial = task.planned(assumed)
        if task.cost(trial) >= task.cost(best):
            break
        best = trial
    return best


@dataclass(frozen=True, slots=True)
class _Task:
    gym: Gym
    steps: tuple[Step, ...]
    now_bar: str
    now_stack: Stack
    taken: Mapping[str, int]
    built: Mapping[Step, Stack]
    habits: Habits
    habit_cost: int

    def planned(self, habits: Habits) -> SequencePlan:
        """The best stacks when the habits are those and no others, counted with the task's own habits."""
        runs = self._runs(habits)
        choice = _Choice(self.gym)
        stacks: list[Stack] = []
        bar, on = self.now_bar, self.now_stack
        for (step, run), tail in zip(runs, tails([run for _, run in runs]), strict=True):
            stays = run.ways.along(run.wanted, on) if run.bar == bar else [ROOT]
            found = tail.best(stays)
            on = min(found, key=lambda s: choice.rank(s, step.from_floor)) if len(found) > 1 else found[0]
            bar = run.bar
            stacks += [on] * run.times
        return self._counted(tuple(stacks))

    def with_firsts(self, stacks: Sequence[Stack]) -> dict[tuple[str, int], Stack]:
        """The habits given, and for each other load the way its first set is built."""
        known = dict(self.habits)
        for step, stack in zip(self.steps, stacks, strict=True):
            known.setdefault((step.bar, step.load), stack)
        return known

    def cost(self, plan: SequencePlan) -> int:
        return plan.moves + self.habit_cost * plan.unlike

    def _counted(self, stacks: tuple[Stack, ...]) -> SequencePlan:
        moves, bar, on = 0, self.now_bar, self.now_stack
        for step, stack in zip(self.steps, stacks, strict=True):
            moves += change(bar, on, step.bar, stack).moves
            bar, on = step.bar, stack
        usual = self.with_firsts(stacks) if self.habit_cost else self.habits
        unlike = sum(usual.get((s.bar, s.load), x) != x for s, x in zip(self.steps, stacks, strict=True))
        return SequencePlan(stacks, moves, unlike)

    def _runs(self, habits: Habits) -> list[tuple[Step, Run]]:
        """The steps with the same ones in a row put together."""
        rows: list[tuple[Step, int]] = []
        for step in self.steps:
            if rows and rows[-1][0] == step:
                rows[-1] = step, rows[-1][1] + 1
            else:
                rows.append((step, 1))
        wanted = {step: _wanted(self.gym, step, stack) for step, stack in self.built.items()}
        trees = {bar: _ways(self.gym, bar, self.taken) for bar in {step.bar for step in self.steps}}
        return [
            (step, Run(step.bar, trees[step.bar], wanted[step], times, habits.get((step.bar, step.load)),
                       self.habit_cost * MOVE))
            for step, times in rows
        ]  # fmt: skip


class _Choice:
    """Which of two stacks, alike in moves, plates and masses, `build` would rather have."""

    def __init__(self, gym: Gym) -> None:
        self.plates = gym.plates

    def rank(self, stack: Stack, from_floor: bool) -> tuple[list[int], list[int]]:
        """Lower is better: heavier inside, then the most of the kind that the lift comes first for."""
        mass = {p.id: p.mass for p in self.plates}
        if from_floor:
            kinds = sorted(self.plates, key=lambda p: (-p.mass, not (p.full_size and p.droppable), -p.diameter, p.id))
        else:
            kinds = sorted(self.plates, key=lambda p: (-p.mass, p.diameter, p.id))
        count = Counter(stack)
        return [-mass[p] for p in stack], [-count[p.id] for p in kinds]


def _wanted(gym: Gym, step: Step, built: Stack) -> Wanted:
    """The mass a side, and for a pull from the floor a disc as good as `build` found: it takes the best there is."""
    side = (step.load - load_of(gym, step.bar, ())) // 2
    full = [p for p in map(gym.plate, built) if p.full_size] if step.from_floor else []
    return Wanted(side, max((2 if p.droppable else 1 for p in full), default=0))


def _ways(gym: Gym, bar_id: str, taken: Mapping[str, int]) -> Ways:
    free = tuple(max(0, p.pairs - max(0, taken.get(p.id, 0))) for p in gym.plates)
    return ways(gym.plates, free, gym.bar(bar_id).sleeve)
