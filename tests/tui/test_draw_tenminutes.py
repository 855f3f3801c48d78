"""The next ten minutes at a glance: a heading for each station, a set a line, in columns."""

from __future__ import annotations

from dataclasses import replace

from floor.core.outlook import ComingSet
from floor.tui.draw.tenminutes import Block, across, blocks, legend, page
from tests.core.scenes import gym
from tests.tui.test_draw_strip import NAMES, NOW, STATIONS, at


def of(*turns: ComingSet) -> list[Block]:
    return blocks(turns, STATIONS, NAMES, NOW, gym())


def read(shown: list[Block], width: int = 76, rows: int = 16, top: int = 0) -> list[str]:
    return [line.plain.rstrip() for line in page(shown, width, rows, top)[0]]


def test_a_set_is_a_line_with_when_who_what_and_the_load_in_columns() -> None:
    shown = of(at(1, -5, 40), at(3, 80, 140, load=6000), at(2, 600, 640))
    assert read(shown[:1]) == [
        "Platform 1",
        " now Mara       squat 62.5 kg",
        "1:20 Wilhelmina squat   60 kg",
    ]


def test_two_stations_stand_beside_each_other_where_the_width_allows() -> None:
    shown = of(at(1, 0, 40), at(2, 80, 140, station=2))
    assert across(shown, 76) == 2
    assert read(shown)[0].split() == ["Platform", "1", "Rack"]
    assert read(shown)[1].index("1:20 Jon") == read(shown)[0].index("Rack")
    assert across(shown, 40) == 1
    assert [line for line in read(shown, 40) if line and "kg" not in line] == ["Platform 1", "Rack"]


def test_a_station_without_a_set_to_come_says_nobody() -> None:
    assert read(of(at(1, 0, 60)))[1].endswith("  nobody")


def test_an_early_set_and_one_to_watch_are_marked_and_the_marks_explained() -> None:
    shown = of(at(1, 30, 90, rested=45), at(2, 100, 140, eyes=2))
    assert [line.split()[0] for line in read(shown[:1])[1:]] == ["!0:30", "=1:40"]
    assert legend(shown) == "! rest not over · = watch"
    assert legend(of(at(1, 30, 90))) == ""


def test_who_waits_for_plates_has_it_on_a_line_below() -> None:
    shown = of(replace(at(1, 30, 90), plates_from=2, plates_wait=40))
    assert read(shown[:1])[2].strip() == "waits 0:40 for plates from Rack"


def test_what_does_not_fit_is_counted_and_the_arrows_reach_it() -> None:
    shown = of(*(at(n % 3 + 1, 40 * n, 40 * n + 35) for n in range(12)), at(1, 0, 60, station=2))
    first = read(shown, rows=7)
    assert "Platform 1  1-6 of 12" in first[0] and len(first) == 7
    assert page(shown, 76, 7, 0)[1] == 6
    last = read(shown, rows=7, top=6)
    assert "7-12 of 12" in last[0] and last[-1].startswith("7:20")
    assert "Rack" in last[0] and "now Mara" in last[1]


def test_nothing_is_wider_than_the_room_and_loads_stay_whole() -> None:
    shown = of(*(at(n % 3 + 1, 40 * n, 40 * n + 35, station=n % 2 + 1, load=10250) for n in range(12)))
    for width in range(30, 130):
        lines = page(shown, width, 30, 0)[0]
        assert max(line.cell_len for line in lines) <= width
        assert sum(line.plain.count("102.5 kg") for line in lines) == 12
