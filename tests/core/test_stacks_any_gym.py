"""Stacks and changes hold their promises whatever the gym owns, beside trying every stack one by one."""

from __future__ import annotations

from collections import Counter
from itertools import product

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from floor.core.gym import Bar, Gym, Plate
from floor.core.stacks import CannotBuild, Stack, apply_change, build, change, load_of, nearest

STACKS = st.lists(st.sampled_from(["25", "20", "15", "10", "5", "2.5", "1.25"]), max_size=6).map(tuple)
BARS = st.sampled_from(["20", "15"])
MASSES = st.sampled_from([50, 100, 125, 250, 500, 700, 1000, 1500, 2000, 2041, 2500])


@st.composite
def gyms(draw: st.DrawFn) -> Gym:
    plates = tuple(
        Plate(f"p{i}", draw(MASSES), draw(st.integers(0, 3)), draw(st.sampled_from([200, 350, 450])),
              draw(st.integers(8, 60)), draw(st.booleans()))
        for i in range(draw(st.integers(0, 4)))
    )  # fmt: skip
    bar = Bar("bar", "bar", 2000, draw(st.integers(0, 300)), 1)
    return Gym(plates=plates, bars=(bar,), collar=draw(st.sampled_from([0, 250])))


def everything(gym: Gym, taken: dict[str, int]) -> dict[int, list[tuple[Plate, ...]]]:
    """Every stack the gym can make, by load: all counts of all plates, tried one by one."""
    by_load: dict[int, list[tuple[Plate, ...]]] = {}
    for counts in product(*(range(max(0, p.pairs - taken.get(p.id, 0)) + 1) for p in gym.plates)):
        plates = tuple(p for p, n in zip(gym.plates, counts, strict=True) for _ in range(n))
        if sum(p.thickness for p in plates) <= gym.bars[0].sleeve:
            by_load.setdefault(2000 + 2 * gym.collar + 2 * sum(p.mass for p in plates), []).append(plates)
    return by_load


TAKEN = st.dictionaries(st.sampled_from(["p0", "p1", "p2", "p3"]), st.integers(0, 2), max_size=3)


@settings(max_examples=150, deadline=None)
@given(gyms(), TAKEN, st.booleans())
def test_every_load_there_is_is_built_with_the_fewest_plates_heaviest_inside(
    gym: Gym, taken: dict[str, int], from_floor: bool
) -> None:
    for load, ways in everything(gym, taken).items():
        stack = build(gym, load, "bar", taken, from_floor)
        assert isinstance(stack, tuple)
        assert load_of(gym, "bar", stack) == load
        plates = [gym.plate(p) for p in stack]
        assert sum(p.thickness for p in plates) <= gym.bars[0].sleeve
        for plate, count in Counter(stack).items():
            assert count <= gym.plate(plate).pairs - taken.get(plate, 0)
        rank = [(-p.mass, -p.diameter, p.id) for p in plates]
        assert rank == sorted(rank)
        if from_floor:
            best = max(map(height, ways))
            assert height(tuple(plates)) == best
            ways = [w for w in ways if height(w) == best]
        assert len(plates) == min(map(len, ways))
        inside_first = (sorted((p.mass for p in w), reverse=True) for w in ways if len(w) == len(plates))
        assert [p.mass for p in plates] == max(inside_first)


def height(plates: tuple[Plate, ...]) -> int:
    """2 with a full-size disc that may be dropped, 1 with a full-size disc, 0 without."""
    return max((p.full_size + (p.full_size and p.droppable) for p in plates), default=0)


@settings(max_examples=150, deadline=None)
@given(gyms(), TAKEN, st.integers(1, 30_000), st.booleans())
def test_a_load_there_is_not_is_refused_with_its_true_neighbours(
    gym: Gym, taken: dict[str, int], load: int, from_floor: bool
) -> None:
    loads = everything(gym, taken)
    assume(load not in loads)
    below = max((x for x in loads if x < load), default=None)
    above = min((x for x in loads if x > load), default=None)
    no = build(gym, load, "bar", taken, from_floor)
    assert isinstance(no, CannotBuild)
    assert (no.below, no.above) == (below, above)
    assert no.why.endswith(".")
    empty = min(loads)
    assert nearest(gym, load, "bar", taken, from_floor)[0] == (below or empty)
    up, stack = nearest(gym, load, "bar", taken, from_floor, above=True)
    assert up == (above or below)
    assert load_of(gym, "bar", stack) == up


@given(BARS, STACKS, BARS, STACKS)
def test_a_change_done_to_the_one_gives_the_other(now_bar: str, now: Stack, then_bar: str, then: Stack) -> None:
    step = change(now_bar, now, then_bar, then)
    assert apply_change(now_bar, now, step) == (then_bar, then)
    assert (step.bar is None) == (now_bar == then_bar)
    assert (step.moves == 0) == (now == then) or step.bar is not None


@given(STACKS, STACKS)
def test_no_fewer_moves_will_do(now: Stack, then: Stack) -> None:
    """Taking off k plates leaves a prefix; the fewest moves over every k that leaves a prefix of the other."""
    ways = [k + len(then) - (len(now) - k) for k in range(len(now) + 1) if then[: len(now) - k] == now[: len(now) - k]]
    assert change("20", now, "20", then).moves == min(ways)


@given(BARS, STACKS, BARS, STACKS, BARS, STACKS)
def test_a_detour_never_moves_fewer_plates(a_bar: str, a: Stack, b_bar: str, b: Stack, c_bar: str, c: Stack) -> None:
    straight = change(a_bar, a, c_bar, c).moves
    assert straight <= change(a_bar, a, b_bar, b).moves + change(b_bar, b, c_bar, c).moves
    assert straight == change(c_bar, c, a_bar, a).moves
