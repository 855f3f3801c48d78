"""Stacks: what is on the sleeve, what can be made, and what hands do in between."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from floor.core.gym import Bar, Gym, Lift, Plate
from floor.core.stacks import (
    NO_FULL_SIZE,
    NOT_TO_DROP,
    ONE_LIGHT_PAIR,
    CannotBuild,
    Change,
    Stack,
    apply_change,
    bar_for,
    build,
    change,
    floor_start,
    held_elsewhere,
    load_of,
    nearest,
    words,
)

BIG = (
    Plate("25", 2500, 2, 450, 54, True),
    Plate("20", 2000, 2, 450, 48, True),
    Plate("15", 1500, 2, 450, 40, True),
    Plate("10", 1000, 2, 450, 33, True),
)
SMALL = (Plate("5", 500, 2, 228, 22), Plate("2.5", 250, 2, 190, 18), Plate("1.25", 125, 1, 160, 12))
TWENTY, FIFTEEN, TEN = (
    Bar("20", "long bar", 2000, 415, 2),
    Bar("15", "short bar", 1500, 320, 1),
    Bar("10", "training bar", 1000, 200, 1),
)
GYM = Gym(plates=BIG + SMALL, bars=(TWENTY, FIFTEEN, TEN))
PULL = Lift("pull", "Pull", "floor", True, 180, 60, 250, 2000, (), 5)
SQUAT = replace(PULL, id="squat", needs="rack", from_floor=False)


def with_plates(*plates: Plate, sleeve: int = 415) -> Gym:
    return Gym(plates=plates, bars=(replace(TWENTY, sleeve=sleeve),))


def refused(answer: Stack | CannotBuild) -> CannotBuild:
    assert isinstance(answer, CannotBuild)
    return answer


# --- the load


def test_the_load_is_bar_collars_and_both_sleeves() -> None:
    assert load_of(GYM, "20", ()) == 2000
    assert load_of(GYM, "15", ("10", "2.5")) == 1500 + 2 * 1250
    assert load_of(replace(GYM, collar=250), "20", ("20",)) == 6500


def test_the_empty_bar_needs_no_plates() -> None:
    assert build(GYM, 2000, "20") == ()
    assert build(Gym(bars=(TWENTY,)), 2000, "20", lift_from_floor=True) == ()


def test_the_fewest_plates_are_used() -> None:
    assert build(GYM, 6000, "20") == ("20",)
    assert build(GYM, 6250, "20") == ("20", "1.25")
    assert build(replace(GYM, collar=250), 6500, "20") == ("20",)


def test_of_equally_few_plates_the_heavier_is_inside() -> None:
    assert build(GYM, 8000, "20") == ("25", "5")  # 20 10 and 15 15 are two plates as well


def test_plates_on_other_bars_are_not_there() -> None:
    assert build(GYM, 6000, "20", {"20": 2}) == ("15", "5")
    assert build(GYM, 6000, "20", held_elsewhere([("20",), ("20", "5")])) == ("15", "5")
    assert build(GYM, 6000, "20", {"20": 99, "unheard-of": 3}) == ("15", "5")
    assert build(GYM, 17_000, "20", {"25": -5}) == ("25", "25", "20", "5")


def test_a_stack_takes_one_pair_for_each_plate_on_the_sleeve() -> None:
    assert held_elsewhere([("20", "20", "5"), (), ("20",)]) == Counter({"20": 3, "5": 1})


def test_the_sleeve_must_hold_the_stack() -> None:
    thick, thin = Plate("20", 2000, 1, 450, 60, True), Plate("10", 1000, 2, 450, 20, True)
    assert build(with_plates(thick, thin, sleeve=60), 6000, "20") == ("20",)
    assert build(with_plates(thick, thin, sleeve=59), 6000, "20") == ("10", "10")
    assert refused(build(with_plates(thick, thin, sleeve=39), 6000, "20")) == CannotBuild(
        "60 kg does not fit on the sleeve of the 20 kg bar.", 4000, None
    )


# --- a pull from the floor


def test_a_pull_from_the_floor_gets_a_full_size_disc_even_with_more_plates() -> None:
    iron = Plate("15 iron", 1500, 1, 350, 30)
    gym = with_plates(iron, Plate("10", 1000, 1, 450, 33, True), Plate("5", 500, 1, 228, 22))
    assert build(gym, 5000, "20") == ("15 iron",)
    assert build(gym, 5000, "20", lift_from_floor=True) == ("10", "5")


def test_a_disc_that_may_be_dropped_goes_before_one_that_only_has_the_height() -> None:
    gym = with_plates(
        Plate("20 iron", 2000, 1, 450, 30), Plate("10", 1000, 1, 450, 33, True), Plate("5", 500, 2, 228, 22)
    )
    assert build(gym, 6000, "20", lift_from_floor=True) == ("10", "5", "5")
    assert build(gym, 6000, "20", {"10": 1}, lift_from_floor=True) == ("20 iron",)


def test_a_disc_with_the_height_goes_before_none_when_no_disc_to_drop_fits_the_load() -> None:
    small = Plate("20 small", 2000, 1, 350, 30), Plate("5", 500, 1, 228, 22)
    gym = with_plates(*small, Plate("15 iron", 1500, 1, 450, 30), Plate("2 full", 200, 1, 450, 20, True))
    assert build(gym, 6000, "20") == ("20 small",)
    assert build(gym, 6000, "20", lift_from_floor=True) == ("15 iron", "5")


def test_of_two_equal_full_size_discs_a_pull_takes_the_one_to_drop() -> None:
    gym = with_plates(
        Plate("20 a", 2000, 1, 450, 30), Plate("20 b", 2000, 1, 450, 48, True), Plate("10", 1000, 1, 450, 33, True)
    )
    assert build(gym, 8000, "20", lift_from_floor=True) == ("20 b", "10")


def test_a_pull_without_any_full_size_disc_is_still_built() -> None:
    assert build(GYM, 3500, "20", lift_from_floor=True) == ("5", "2.5")
    assert floor_start(GYM, PULL, ("5", "2.5")) == NO_FULL_SIZE


def test_other_lifts_leave_the_light_full_size_disc_to_the_pulls() -> None:
    gym = with_plates(Plate("5 full", 500, 1, 450, 25, True), Plate("5", 500, 1, 228, 22))
    assert build(gym, 3000, "20") == ("5",)
    assert build(gym, 3000, "20", lift_from_floor=True) == ("5 full",)
    assert build(gym, 4000, "20") == ("5 full", "5")


def test_a_pull_is_told_when_the_discs_do_not_hold_the_bar_at_its_height() -> None:
    assert floor_start(GYM, PULL, ()) == NO_FULL_SIZE
    assert floor_start(GYM, PULL, ("10", "5")) == ""
    assert floor_start(GYM, SQUAT, ()) == ""


def test_a_disc_not_made_for_dropping_and_a_lone_light_pair_are_told() -> None:
    gym = with_plates(
        Plate("20 iron", 2000, 2, 450, 30), Plate("15 iron", 1500, 1, 350, 30), Plate("5 full", 500, 2, 450, 25, True)
    )
    assert floor_start(gym, PULL, ("20 iron",)) == NOT_TO_DROP
    assert floor_start(gym, PULL, ("15 iron", "5 full")) == ONE_LIGHT_PAIR
    assert floor_start(gym, PULL, ("15 iron", "5 full", "5 full")) == ""
    assert floor_start(gym, PULL, ("5 full",)) == ""


# --- what cannot be made


@pytest.mark.parametrize(
    ("load", "taken", "no"),
    [
        (0, {}, CannotBuild("A load must be more than zero.")),
        (-500, {}, CannotBuild("A load must be more than zero.")),
        (1500, {}, CannotBuild("15 kg is less than the 20 kg bar alone, 20 kg.", None, 2000)),
        (6001, {}, CannotBuild("60.01 kg cannot be shared equally between two sleeves.", 6000, 6250)),
        (6100, {}, CannotBuild("61 kg cannot be made with the gym's plates on the 20 kg bar.", 6000, 6250)),
        (2250, {"1.25": 1}, CannotBuild("22.5 kg needs plates that other bars hold.", 2000, 2500)),
        (90_000, {}, CannotBuild("900 kg cannot be made with the gym's plates on the 20 kg bar.", 32_500, None)),
    ],
)
def test_a_load_that_cannot_be_made_says_why_and_what_is_nearest(
    load: int, taken: dict[str, int], no: CannotBuild
) -> None:
    assert build(GYM, load, "20", taken) == no


NOTHING = 'Plate "25" needs a mass, a thickness and a diameter of more than zero.'


@pytest.mark.parametrize(
    ("gym", "sentence"),
    [
        (Gym(bars=(TWENTY,)), "The gym has no plates."),
        (Gym(plates=BIG), 'The gym has no bar "20".'),
        (with_plates(BIG[0], BIG[0]), 'Plate "25" is in the stock twice.'),
        (with_plates(replace(BIG[0], mass=0)), NOTHING),
        (with_plates(replace(BIG[0], mass=-1)), NOTHING),
        (with_plates(replace(BIG[0], thickness=0)), NOTHING),
        (with_plates(replace(BIG[0], diameter=0)), NOTHING),
        (with_plates(replace(BIG[0], pairs=-1)), 'Plate "25" has fewer than no pairs.'),
        (replace(GYM, collar=-1), "A collar cannot weigh less than nothing."),
        (Gym(plates=BIG, bars=(replace(TWENTY, mass=0),)), 'Bar "20" needs a mass, and a sleeve of no less than 0 mm.'),
    ],
)  # fmt: skip
def test_a_gym_that_does_not_add_up_is_refused_with_one_sentence(gym: Gym, sentence: str) -> None:
    assert refused(build(gym, 7000, "20")).why == sentence


def test_collars_count_when_a_load_is_too_light_for_the_bar() -> None:
    no = refused(build(replace(GYM, collar=250), 2400, "20"))
    assert no == CannotBuild("24 kg is less than the 20 kg bar with its collars, 25 kg.", None, 2500)


def test_bars_of_the_same_mass_are_told_apart_by_name() -> None:
    gym = Gym(plates=BIG, bars=(TWENTY, Bar("s", "squat bar", 2000, 415, 1)))
    assert refused(build(gym, 1000, "s")).why == "10 kg is less than the squat bar alone, 20 kg."
    assert words(change("20", (), "s", ("10",)), gym) == "bar to the squat bar; on 10, each side"


# --- the nearest load


def test_the_nearest_load_is_below_unless_the_one_above_is_asked_for() -> None:
    assert nearest(GYM, 6000, "20") == (6000, ("20",))
    assert nearest(GYM, 6199, "20") == (6000, ("20",))
    assert nearest(GYM, 6199, "20", above=True) == (6250, ("20", "1.25"))
    assert nearest(GYM, 6250, "20", {"1.25": 1}) == (6000, ("20",))


def test_the_nearest_load_is_never_less_than_the_empty_bar() -> None:
    assert nearest(GYM, 1000, "20") == (2000, ())
    assert nearest(GYM, 2100, "20") == (2000, ())
    assert nearest(Gym(bars=(TWENTY,)), 9000, "20", above=True) == (2000, ())
    assert nearest(with_plates(BIG[0], BIG[0]), 9000, "20") == (2000, ())


def test_asked_for_more_than_there_is_the_heaviest_is_nearest() -> None:
    heaviest = with_plates(*BIG, sleeve=108)
    assert nearest(heaviest, 50_000, "20", above=True) == nearest(heaviest, 50_000, "20") == (12_000, ("25", "25"))


def test_thin_plates_that_leave_room_for_more_are_counted() -> None:
    thick, thin = Plate("20", 2000, 1, 450, 60, True), Plate("10", 1000, 2, 450, 20, True)
    gym = with_plates(thick, thin, Plate("5", 500, 1, 228, 20), sleeve=60)
    assert nearest(gym, 9000, "20") == (7000, ("10", "10", "5"))


# --- the bar


def test_the_stations_own_bar_is_used_unless_it_outweighs_the_load() -> None:
    assert bar_for(GYM, 2000, "20") == "20"
    assert bar_for(GYM, 6000, "15") == "15"
    assert bar_for(GYM, 1999, "20") == "15"
    assert bar_for(GYM, 1499, "20") == "10"
    assert bar_for(GYM, 500, "20") == "10"
    assert bar_for(replace(GYM, collar=250), 2400, "20") == "15"


def test_a_bar_the_gym_has_none_of_is_not_offered() -> None:
    gym = replace(GYM, bars=(TWENTY, replace(FIFTEEN, count=0), TEN))
    assert bar_for(gym, 1800, "20") == "10"
    assert bar_for(replace(GYM, bars=()), 1800, "20") == "20"
    assert bar_for(GYM, 6000, "unheard-of") == "20"


# --- the change


def test_a_sleeve_is_last_in_first_out() -> None:
    assert change("20", ("20", "10", "2.5"), "20", ("20", "15")) == Change(("2.5", "10"), ("15",))
    assert change("20", ("20", "2.5"), "20", ("20", "5", "2.5")) == Change(("2.5",), ("5", "2.5"))
    assert change("20", ("10",), "20", ("20", "10")).moves == 3


def test_another_bar_is_loaded_from_nothing() -> None:
    assert change("20", ("20", "5"), "15", ("20",)) == Change(("5", "20"), ("20",), "15")


@pytest.mark.parametrize(
    ("now", "then", "said"),
    [
        ("10", "15 2.5", "off 10; on 15 and 2.5, each side"),
        ("", "20", "on 20, each side"),
        ("20 5 2.5", "20", "off 2.5 and 5, each side"),
        ("20", "20 10 5 2.5", "on 10, 5 and 2.5, each side"),
        ("20", "20", "nothing to change"),
    ],
)
def test_a_change_is_said_in_the_order_of_hands(now: str, then: str, said: str) -> None:
    assert words(change("20", tuple(now.split()), "20", tuple(then.split())), GYM) == said


def test_a_change_of_bar_is_said_with_its_mass() -> None:
    assert words(change("20", (), "15", ("5",)), GYM) == "bar to the 15 kg bar; on 5, each side"
    assert words(change("20", ("10",), "15", ()), GYM) == "off 10, each side; bar to the 15 kg bar"
    assert words(change("20", (), "15", ()), GYM) == "bar to the 15 kg bar"


def test_plates_that_are_not_outermost_cannot_come_off() -> None:
    for step in (Change(("20",)), Change(("5", "20", "10")), Change(("5",), (), "15")):
        with pytest.raises(ValueError, match="cannot take"):
            apply_change("20", ("20", "5"), step)
