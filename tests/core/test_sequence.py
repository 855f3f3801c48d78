"""The stacks for an evening's loads: the fewest plates moved, whatever the gym owns."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import pairwise, product
from math import prod

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from floor.core.gym import Bar, Gym, Plate
from floor.core.sequence import SequencePlan, Step, all_fewest, least_moves
from floor.core.stacks import CannotBuild, Stack, build, change, load_of
from tests.core.test_stacks_any_gym import TAKEN, everything, gyms, height

BIG = (
    Plate("25", 2500, 2, 450, 54, True),
    Plate("20", 2000, 2, 450, 48, True),
    Plate("10", 1000, 4, 450, 33, True),
    Plate("5T", 500, 1, 450, 25),
)
SMALL = (Plate("5", 500, 2, 228, 22), Plate("2.5", 250, 2, 190, 18), Plate("1.25", 125, 1, 160, 12))
TWENTY, FIFTEEN = Bar("20", "long bar", 2000, 415, 1), Bar("15", "short bar", 1500, 320, 1)
GYM = Gym(plates=BIG + SMALL, bars=(TWENTY, FIFTEEN))


def planned(gym: Gym, *loads: int, now: Stack = (), **more: object) -> SequencePlan:
    plan = least_moves(gym, [Step("20", load) for load in loads], "20", now, **more)  # type: ignore[arg-type]
    assert isinstance(plan, SequencePlan)
    return plan


def moves_of(bar: str, on: Stack, steps: list[Step], stacks: tuple[Stack, ...]) -> int:
    met = [(bar, on), *((step.bar, stack) for step, stack in zip(steps, stacks, strict=True))]
    return sum(change(*a, *b).moves for a, b in pairwise(met))


# --- the rules


def test_a_smaller_pair_first_leaves_it_on_for_the_next_load() -> None:
    """40, 60, 40, 60: a 10 that stays on, and another 10 on and off, beats a 20 for the 60 each time."""
    plan = planned(GYM, 4000, 6000, 4000, 6000)
    assert plan.stacks == (("10",), ("10", "10"), ("10",), ("10", "10"))
    assert plan.moves == 4


def test_a_load_met_alone_gets_the_fewest_plates() -> None:
    assert planned(GYM, 6000).stacks == (("20",),)


def test_what_is_on_the_bar_stays_if_it_already_makes_the_load() -> None:
    plan = planned(GYM, 6000, now=("10", "10"))
    assert (plan.stacks, plan.moves) == ((("10", "10"),), 0)


def test_of_equal_moves_the_fewest_plates_then_heavier_inside() -> None:
    stock = tuple(Plate(f"{m}", m * 100, 1, 200, 10) for m in (7, 6, 5, 4))
    gym = Gym(plates=stock, bars=(TWENTY,))
    assert planned(gym, 2000 + 2 * 1100).stacks == (("7", "4"),)


def few(pairs: dict[int, int], sleeve: int = 400) -> Gym:
    """A gym with so many pairs of each whole number of kg, 10 mm thick."""
    plates = tuple(Plate(f"{m}", m * 100, n, 200, 10) for m, n in pairs.items())
    return Gym(plates=plates, bars=(replace(TWENTY, sleeve=sleeve),))


def test_a_beginning_may_stay_on_for_two_changes_of_load() -> None:
    plan = planned(few({7: 1, 6: 1, 5: 1, 4: 1, 3: 3, 1: 3}), 4200, 3600, 3200)
    assert plan.stacks == (("5", "3", "3"), ("5", "3"), ("5", "1")) and plan.moves == 6


def test_of_equal_moves_a_load_lifted_often_counts_its_plates_each_time() -> None:
    gym = few({10: 3, 7: 1, 6: 2, 5: 3, 4: 3, 1: 3}, sleeve=60)
    plan = planned(gym, 3800, 3800, 3800, 3800, 4400)
    assert plan.stacks == (*[("5", "4")] * 4, ("5", "4", "1", "1", "1")) and plan.moves == 5


def test_no_plates_are_used_that_other_bars_hold() -> None:
    plan = planned(GYM, 4000, 6000, taken={"10": 3})
    assert Counter(p for s in plan.stacks for p in set(s) if s.count("10") > 1) == Counter()
    assert plan.stacks == (("10",), ("20",))


def test_what_does_not_fit_on_the_sleeve_is_not_used() -> None:
    short = replace(GYM, bars=(replace(TWENTY, sleeve=60),))
    assert planned(short, 4000, 6000, 4000, 6000).stacks == (("10",), ("20",), ("10",), ("20",))


def test_a_change_of_bar_takes_everything_off_and_puts_all_of_the_new_on() -> None:
    plan = least_moves(GYM, [Step("20", 6000), Step("15", 5500), Step("20", 6000)], "20", ("10", "10"))
    assert isinstance(plan, SequencePlan)
    assert plan.stacks == (("10", "10"), ("20",), ("20",)) and plan.moves == 0 + 3 + 2


def test_a_pull_from_the_floor_gets_a_disc_that_holds_it_at_its_height() -> None:
    plan = least_moves(GYM, [Step("20", 3000), Step("20", 3000, from_floor=True)], "20", ("5",))
    assert isinstance(plan, SequencePlan)
    assert (plan.stacks, plan.moves) == ((("5",), ("5T",)), 2)
    assert planned(GYM, 3000, 3000, now=("5",)).moves == 0


def test_the_same_load_is_built_as_before_unless_another_way_saves_more() -> None:
    """The 20 was used for 60 before; a 10 that stays on would save 4 moves over these sets."""
    steps, before = (4000, 6000, 4000, 6000), {("20", 6000): ("20",), ("20", 4000): ("10",)}
    assert planned(GYM, *steps, habits=before, habit_cost=1).stacks[1] == ("10", "10")
    as_before = planned(GYM, *steps, habits=before, habit_cost=5)
    assert as_before.stacks[1::2] == (("20",), ("20",)) and as_before.unlike == 0
    assert planned(GYM, *steps, habits=before).stacks == planned(GYM, *steps).stacks


def test_a_way_that_cannot_be_built_now_binds_nobody() -> None:
    habit = {("20", 6000): ("20",)}
    plan = planned(GYM, 6000, taken={"20": 2}, habits=habit, habit_cost=3)
    assert plan.stacks == (("10", "10"),)


def test_a_load_met_twice_is_built_one_way_where_that_costs_little() -> None:
    steps = (4000, 6000, 9000, 6000, 4000, 6500, 6000)
    free, bound = planned(GYM, *steps), planned(GYM, *steps, habit_cost=50)
    assert bound.unlike == 0
    assert len({s for s, load in zip(bound.stacks, steps, strict=True) if load == 6000}) == 1
    assert bound.moves >= free.moves


def test_no_sets_need_no_moves() -> None:
    assert least_moves(GYM, [], "20", ("10",)) == SequencePlan((), 0)


def test_a_load_that_cannot_be_built_is_refused_as_ever() -> None:
    steps = [Step("20", 6000), Step("20", 6010)]
    assert least_moves(GYM, steps, "20", ()) == build(GYM, 6010, "20")
    assert all_fewest(GYM, 6010, "20") == build(GYM, 6010, "20")


def test_all_stacks_with_the_fewest_plates_are_told() -> None:
    stock = tuple(Plate(f"{m}", m * 100, 2, 200, 10) for m in (7, 6, 5, 4))
    gym = Gym(plates=stock, bars=(TWENTY,))
    assert all_fewest(gym, 2000 + 2 * 1100, "20") == (("7", "4"), ("6", "5"))


def test_a_plan_can_be_kept_by_its_question_and_its_answer() -> None:
    assert len({Step("20", 6000), Step("20", 6000, False), planned(GYM, 6000), planned(GYM, 6000)}) == 2


# --- whatever the gym owns, beside every stack there is


def sleeve_order(plates: tuple[Plate, ...]) -> Stack:
    return tuple(p.id for p in sorted(plates, key=lambda p: (-p.mass, -p.diameter, p.id)))


def candidates(gym: Gym, taken: dict[str, int], step: Step) -> list[Stack]:
    """Every stack of that load there is; for a pull, those with as good a disc as any of them."""
    gym = replace(gym, bars=(gym.bar(step.bar),))
    over = gym.bars[0].mass - 2000
    ways = everything(gym, taken)[step.load - over]
    if step.from_floor:
        ways = [w for w in ways if height(w) == max(map(height, ways))]
    return [sleeve_order(w) for w in ways]


class Task:
    """A gym with two bars, what other bars hold, some sets in a row, and what is on the bar."""

    def __init__(self, gym: Gym, taken: dict[str, int], steps: list[Step], on: Stack) -> None:
        self.gym, self.taken, self.steps, self.on = gym, taken, steps, on
        self.ways = [candidates(gym, taken, step) for step in steps]

    def __repr__(self) -> str:
        return f"Task({self.gym.plates}, {self.gym.bars}, {self.taken}, {self.steps}, {self.on})"

    def plan(self, habits: dict[tuple[str, int], Stack] | None = None, cost: int = 0) -> SequencePlan:
        plan = least_moves(self.gym, self.steps, "bar", self.on, self.taken, habits or {}, cost)
        assert isinstance(plan, SequencePlan)
        return plan

    def moves(self, stacks: tuple[Stack, ...]) -> int:
        return moves_of("bar", self.on, self.steps, stacks)

    def masses(self, stacks: tuple[Stack, ...]) -> list[list[int]]:
        return [[-self.gym.plate(p).mass for p in stack] for stack in stacks]


@st.composite
def rich_gyms(draw: st.DrawFn) -> Gym:
    """Five kinds that make many loads in many ways."""
    masses = draw(st.lists(st.sampled_from([100, 200, 300, 400, 500, 1000]), min_size=5, max_size=5))
    plates = tuple(
        Plate(f"p{i}", mass, draw(st.integers(1, 3)), draw(st.sampled_from([200, 450])), draw(st.integers(8, 20)))
        for i, mass in enumerate(masses)
    )
    return Gym(plates=plates, bars=(Bar("bar", "bar", 2000, draw(st.integers(80, 200)), 1),))


@st.composite
def tasks(draw: st.DrawFn, most: int = 8) -> Task:
    gym, taken = draw(st.one_of(gyms(), rich_gyms())), draw(TAKEN)
    other = replace(gym.bars[0], id="other", mass=1500, sleeve=draw(st.integers(0, 300)))
    gym = replace(gym, bars=(gym.bars[0], other))
    loads = {b.id: sorted(x + b.mass - 2000 for x in everything(replace(gym, bars=(b,)), taken)) for b in gym.bars}
    bars = draw(st.lists(st.sampled_from(["bar", "bar", "bar", "other"]), min_size=1, max_size=5))
    sets = st.sampled_from([Step(bar, draw(st.sampled_from(loads[bar])), draw(st.booleans())) for bar in bars])
    steps = draw(st.lists(sets, min_size=1, max_size=most))
    task = Task(gym, taken, steps, ())
    task.on = draw(st.sampled_from([(), *(draw(st.sampled_from(ways)) for ways in task.ways)]))
    return task


@st.composite
def habits_for(draw: st.DrawFn, task: Task) -> dict[tuple[str, int], Stack]:
    """A habit for every load, some of which cannot be built now."""
    return {
        (step.bar, step.load): draw(st.sampled_from([*ways, ("gone",)]))
        for step, ways in zip(task.steps, task.ways, strict=True)
    }


@settings(max_examples=150, deadline=None)
@given(tasks())
def test_every_stack_makes_its_load_fits_and_is_there(task: Task) -> None:
    plan = task.plan()
    for step, stack in zip(task.steps, plan.stacks, strict=True):
        plates = [task.gym.plate(p) for p in stack]
        assert load_of(task.gym, step.bar, stack) == step.load
        assert sum(p.thickness for p in plates) <= task.gym.bar(step.bar).sleeve
        assert all(n <= task.gym.plate(p).pairs - task.taken.get(p, 0) for p, n in Counter(stack).items())
        assert sleeve_order(tuple(plates)) == stack
        if step.from_floor:
            built = build(task.gym, step.load, step.bar, task.taken, lift_from_floor=True)
            assert isinstance(built, tuple)
            assert height(tuple(plates)) == height(tuple(map(task.gym.plate, built)))
    assert plan.moves == task.moves(plan.stacks)


@settings(max_examples=150, deadline=None)
@given(tasks(), st.data())
def test_the_choice_is_the_best_of_all_choices_tried_one_by_one(task: Task, data: st.DataObject) -> None:
    """With a habit for every load: moves and habits, then fewest plates, then heavier inside from the first set."""
    assume(prod(map(len, task.ways)) <= 5000)
    habits, cost = data.draw(habits_for(task)), data.draw(st.integers(0, 3))
    plan = task.plan(habits, cost)

    def unlike(stacks: tuple[Stack, ...]) -> int:
        return sum(habits[s.bar, s.load] != x for s, x in zip(task.steps, stacks, strict=True))

    def worth(stacks: tuple[Stack, ...]) -> tuple[int, int, list[list[int]]]:
        return task.moves(stacks) + cost * unlike(stacks), sum(map(len, stacks)), task.masses(stacks)

    assert worth(plan.stacks) == min(map(worth, product(*task.ways)))
    assert plan.unlike == unlike(plan.stacks)


@settings(max_examples=200, deadline=None)
@given(tasks(most=25), st.data())
def test_a_long_evening_is_the_best_of_every_stack_after_every_stack(task: Task, data: st.DataObject) -> None:
    """Nothing left out: from each stack of a set to each of the next; moves and habits, then plates on the sleeve."""
    habits, cost = data.draw(habits_for(task)), data.draw(st.integers(0, 3))
    least = {("bar", task.on): (0, 0)}
    for step, ways in zip(task.steps, task.ways, strict=True):
        then = {}
        for b in ways:
            own = cost * (habits[step.bar, step.load] != b)
            moved = min((m + change(bar, a, step.bar, b).moves, n) for (bar, a), (m, n) in least.items())
            then[step.bar, b] = moved[0] + own, moved[1] + len(b)
        least = then
    plan = task.plan(habits, cost)
    assert (plan.moves + cost * plan.unlike, sum(map(len, plan.stacks))) == min(least.values())


@settings(max_examples=100, deadline=None)
@given(tasks(most=25))
def test_never_more_moves_than_the_fewest_plates_each_time(task: Task) -> None:
    each = [build(task.gym, s.load, s.bar, task.taken, s.from_floor) for s in task.steps]
    stacks = tuple(stack for stack in each if not isinstance(stack, CannotBuild))
    assert task.plan().moves <= task.moves(stacks)


@settings(max_examples=100, deadline=None)
@given(tasks(most=25))
def test_never_more_moves_than_the_largest_first(task: Task) -> None:
    """The way among all there are that has the heaviest plate inside, then the next."""
    stacks = tuple(min(ways, key=lambda s: task.masses((s,))[0]) for ways in task.ways)
    assert task.plan().moves <= task.moves(stacks)


@settings(max_examples=100, deadline=None)
@given(tasks(most=12), st.integers(1, 4))
def test_habits_of_the_evening_itself_are_never_worse_than_leaving_them_out(task: Task, cost: int) -> None:
    def worth(stacks: tuple[Stack, ...]) -> int:
        first: dict[tuple[str, int], Stack] = {}
        unlike = 0
        for step, stack in zip(task.steps, stacks, strict=True):
            unlike += first.setdefault((step.bar, step.load), stack) != stack
        return task.moves(stacks) + cost * unlike

    plan = task.plan(cost=cost)
    assert worth(plan.stacks) == plan.moves + cost * plan.unlike <= worth(task.plan().stacks)


@settings(max_examples=60, deadline=None)
@given(tasks())
def test_the_same_question_has_the_same_answer_whatever_was_asked_before(task: Task) -> None:
    first = task.plan()
    for start in range(len(task.steps)):
        least_moves(task.gym, task.steps[start:], "bar", (), task.taken)
    turned = replace(task.gym, plates=task.gym.plates[::-1])
    again = least_moves(turned, list(task.steps), "bar", task.on, dict(task.taken))
    assert task.plan() == first == again


@settings(max_examples=150, deadline=None)
@given(gyms(), TAKEN, st.booleans())
def test_all_the_fewest_are_all_there_are_and_the_built_one_is_first(
    gym: Gym, taken: dict[str, int], from_floor: bool
) -> None:
    for load in everything(gym, taken):
        every = candidates(gym, taken, Step("bar", load, from_floor))
        told = all_fewest(gym, load, "bar", taken, from_floor)
        assert isinstance(told, tuple)
        assert sorted(told) == sorted(s for s in every if len(s) == min(map(len, every)))
        assert told[0] == build(gym, load, "bar", taken, from_floor)
