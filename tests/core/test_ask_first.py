"""Before the first set of a lift that safeties catch: none noted is asked about."""

from __future__ import annotations

from floor.core.askfirst import no_safeties
from floor.core.commands import RampDone, SetHeights
from floor.core.gym import Gym
from floor.core.stacks import Change, least_words
from tests.core.scenes import PLATFORM, Scene, a_set, came, evening, gym


def asked(scene: Scene, lifter: int = 1) -> bool:
    return no_safeties(scene.state, lifter, scene.coming(lifter))


def test_a_first_squat_with_no_safeties_noted_is_asked_about() -> None:
    assert asked(evening(came(squat=60)))


def test_with_safeties_noted_nothing_is_asked() -> None:
    assert not asked(evening(came(squat=60), SetHeights(1, "squat", rack=12, safety=3)))


def test_a_rack_height_alone_is_no_safety() -> None:
    assert asked(evening(came(squat=60), SetHeights(1, "squat", rack=12)))


def test_it_is_asked_once_a_lift_and_evening() -> None:
    assert not asked(evening(came(squat=60), a_set()))


def test_a_ramp_ticked_off_is_no_first_set() -> None:
    assert asked(evening(came(squat=60), RampDone(1)))
    assert not asked(evening(came(squat=60), RampDone(1), a_set()))


def test_a_lift_without_safeties_is_not_asked_about() -> None:
    assert not asked(evening(came(1, PLATFORM, "pull", deadlift=60)))


def test_a_change_with_many_plates_off_still_says_what_goes_on() -> None:
    the_gym: Gym = gym()
    assert least_words(Change(off=("1", "2.5", "20"), on=("10", "5")), the_gym) == "off 3 plates, on 10 5"
    assert least_words(Change(off=("20",), on=("10",)), the_gym) == "off 1 plate, on 10"
    assert least_words(Change(on=("10",)), the_gym) == "on 10"
