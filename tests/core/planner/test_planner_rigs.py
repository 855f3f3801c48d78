"""What is on the bar, turned into seconds and plates."""

from __future__ import annotations

from floor.core.planner import Handling, Rig, tables

HANDLING = Handling(plate=6, bar=30, height=20)


def test_plates_deep_on_the_sleeve_stay_when_the_next_stack_begins_with_them() -> None:
    seconds, plates = tables([Rig("20", ("25",)), Rig("20", ("25", "10", "5"))], HANDLING)
    assert seconds == ((0, 12), (12, 0))
    assert plates == ((0, 4), (4, 0))


def test_another_bar_is_loaded_from_nothing() -> None:
    seconds, plates = tables([Rig("20", ("25",)), Rig("15", ("25",))], HANDLING)
    assert seconds[0][1] == 2 * 6 + 30
    assert plates[0][1] == 4


def test_another_height_takes_its_time_even_with_the_same_plates() -> None:
    seconds, plates = tables([Rig("20", ("25",), "8"), Rig("20", ("25",), "11")], HANDLING)
    assert (seconds[0][1], plates[0][1]) == (20, 0)
