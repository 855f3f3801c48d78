"""The next ten minutes: names on a time axis, rests seen, an early set said."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from floor.core.outlook import ComingSet
from floor.tui.draw.strip import LABEL, strip

NOW = datetime(2025, 3, 3, 18, 0, tzinfo=UTC)
NAMES = {1: "Mara", 2: "Jon", 3: "Wilhelmina"}
STATIONS = ((1, "Platform 1"), (2, "Rack"))


def at(
    lifter: int, start: int, end: int, station: int = 1, rested: int | None = None, eyes: int = 0, load: int = 6250
) -> ComingSet:
    """A set from `start` to `end` seconds from now."""
    after = timedelta(seconds=rested) if rested is not None else None
    return ComingSet(
        station, lifter, 1, "squat", load, NOW + timedelta(seconds=start), NOW + timedelta(seconds=end),
        NOW + after if after is not None else None, eyes,
    )


def drawn(*turns: ComingSet, width: int = LABEL + 120) -> list[str]:
    return [line.plain for line in strip(turns, STATIONS, NAMES, NOW, width)]


def test_a_set_stands_under_its_minute_for_as_long_as_it_takes() -> None:
    axis, first, loads, *_ = drawn(at(1, 120, 180))
    assert first[LABEL:] == " " * 24 + "├Mara──────┤"
    assert axis.index("+2 min") == LABEL + 24
    assert loads.strip() == "62.5" and loads.index("62.5") == LABEL + 25


def test_a_bar_that_waits_for_a_rest_is_dotted_until_the_rest_is_over() -> None:
    first = drawn(at(1, 0, 60), at(2, 120, 160, rested=110))[1]
    assert first[LABEL:] == "├Mara──────┤" + "·" * 10 + "  " + "├Jon───┤"


def test_a_set_to_watch_is_told_by_its_line_not_by_colour() -> None:
    assert "╞Mara══════╡" in drawn(at(1, 0, 60, eyes=3))[1]


def test_a_set_before_its_rest_is_over_is_marked() -> None:
    assert "├!Mara─────┤" in drawn(at(1, 30, 90, rested=45))[1]


def test_each_station_has_its_line_and_an_empty_one_too() -> None:
    lines = drawn(at(1, 0, 60), at(2, 0, 60, station=2))
    assert len(lines) == 5 and lines[1].startswith("Platform 1") and lines[3].startswith("Rack")


def test_what_is_over_or_later_than_ten_minutes_is_left_out_and_nothing_is_wider_than_the_screen() -> None:
    lines = drawn(at(1, -60, -5), at(2, 590, 680), at(3, 601, 660), width=70)
    assert "Mara" not in lines[1] and "Wil" not in lines[1]
    assert all(len(line) <= 70 for line in lines)


def test_without_a_plan_it_says_so_and_takes_the_same_room() -> None:
    lines = drawn()
    assert lines[1].strip() == "no plan yet" and len(lines) == len(drawn(at(1, 0, 60)))


def test_a_long_name_is_cut_to_its_set() -> None:
    assert "├Wilhel┤" in drawn(at(3, 0, 40))[1]


def test_a_load_is_whole_up_to_the_next_one_or_left_out() -> None:
    one_after_another = (at(1, 0, 30, load=5750), at(2, 30, 60, load=10250), at(3, 60, 120, load=6000))
    assert drawn(*one_after_another, width=LABEL + 120)[2][LABEL:] == " 57.5  102.5 60"
    assert drawn(*one_after_another, width=LABEL + 80)[2][LABEL:] == "         60"
    apart = (at(1, 0, 30, load=10250), at(2, 120, 180, load=5750))
    assert drawn(*apart, width=LABEL + 80)[2][LABEL:] == " 102.5" + " " * 11 + "57.5"


def test_no_part_of_a_load_is_ever_drawn() -> None:
    for width in range(LABEL + 20, LABEL + 140):
        turns = [at(n % 3 + 1, 40 * n, 40 * n + 35, load=5750 + 250 * n) for n in range(15)]
        loads = drawn(*turns, width=width)[2].split()
        assert set(loads) <= {f"{(5750 + 250 * n) / 100:g}" for n in range(15)}
