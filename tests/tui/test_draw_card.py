"""A station's card: a fixed frame, what matters most kept longest, only changed lines drawn."""

from dataclasses import replace

import pytest
from textual.app import App, ComposeResult
from textual.strip import Strip

from floor.core.gym import Plate
from floor.tui.draw.bigtext import big
from floor.tui.draw.spans import row_text, row_width
from floor.tui.widgets.card import StationCard
from floor.tui.widgets.cardframe import frame
from floor.tui.widgets.cardlines import STYLES, card_lines
from floor.tui.widgets.cardparts import load_rows, mark_rows
from floor.tui.widgets.cardview import EMPTY_CARD, CardView, RepMark, Status

REST = CardView(
    title="1",
    stands="rack",
    in_hand=True,
    name="Ben",
    role_line="squat · set 2 of 3 · work",
    load_text="62.5",
    reps_text="× 5",
    rest_text="1:20",
    status=Status.RESTING,
    plates=(Plate("15", 1500, 4, 450, 50), Plate("5", 500, 4, 230, 27), Plate("1.25", 125, 4, 160, 15)),
    on=frozenset({1, 2}),
    change_words="off 10; on 5 and 1.25, each side",
    next_name="Margit",
    next_set="55 kg × 5",
    next_wait="in 3:10",
    setup_line="rack 12 · safeties 5",
    caution="spotter",
)
LIFTING = replace(
    REST, status=Status.LIFTING, rest_text="", marks=(RepMark(True), RepMark(False, "a"), RepMark(), RepMark())
)
SIZES = [(26, 14), (26, 15), (26, 18), (27, 22), (40, 20), (46, 34), (70, 34), (20, 9), (12, 5), (3, 2)]


def text(view, width, height):
    return [row_text(line) for line in card_lines(view, width, height)]


def has_big(lines, words, size="small"):
    """True when the words stand in large letters, row under row."""
    rows = big(words, 99, size)
    return any(all(row in lines[y + i] for i, row in enumerate(rows)) for y in range(len(lines) - len(rows) + 1))


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("view", [REST, LIFTING, EMPTY_CARD, replace(REST, name="Юля", load_text="1002.25")])
def test_every_line_is_exactly_as_wide_as_the_card(view, width, height):
    lines = card_lines(view, width, height)
    assert len(lines) == height
    assert {row_width(line) for line in lines} == {width}
    assert {style for line in lines for _, style in line} <= {"", *STYLES}


@pytest.mark.parametrize("height", range(14, 35))
@pytest.mark.parametrize("width", [26, 46, 70])
def test_name_load_and_reps_are_large_at_every_working_size(width, height):
    lines = text(REST, width, height)
    for words in ("BEN", "62.5"):
        assert has_big(lines, words) or has_big(lines, words, "tall"), words


@pytest.mark.parametrize("height", range(3, 35))
@pytest.mark.parametrize("width", [26, 46, 70])
def test_slots_never_overlap_or_leave_the_card(width, height):
    at = 0
    for slot in frame(width - 2, height - 2):
        assert slot.top >= at
        assert slot.rows >= 1
        at = slot.top + slot.rows
    assert at <= height - 2


def test_the_frame_does_not_move_when_the_state_changes():
    rest, lifting, empty = (card_lines(view, 26, 21) for view in (REST, LIFTING, replace(REST, change_words="")))
    for slot in frame(24, 19):
        if slot.part in ("name", "role", "load", "draw", "next"):
            rows = range(1 + slot.top, 1 + slot.top + slot.rows)
            assert [rest[y] for y in rows] == [lifting[y] for y in rows] == [empty[y] for y in rows]


def test_more_room_never_takes_a_part_away():
    for width in (24, 44):
        kept = 0
        for height in range(13, 33):
            parts = {slot.part for slot in frame(width, height)}
            assert {"name", "load", "now", "next", "change", "draw"} <= parts
            assert len(parts) >= kept
            kept = len(parts)


def test_at_fourteen_lines_the_time_is_large_and_at_fifteen_the_stack_is_drawn():
    assert has_big(text(REST, 26, 14), "1:20")
    lines = text(REST, 26, 15)
    assert any("15 +5 +1.25" in line for line in lines)
    assert any("rest 1:20" in line for line in lines)


@pytest.mark.parametrize("height", [14, 15, 18, 24, 34])
def test_the_reps_and_their_faults_show_while_the_set_runs(height):
    marked = [line for line in card_lines(LIFTING, 26, height) if any(style == "made" for _, style in line)]
    assert marked
    letters = [t.strip() for line in card_lines(LIFTING, 26, height) for t, style in line if style == "letter"]
    assert "a" in letters


def test_small_marks_put_the_letter_beside_its_rep():
    marks = (RepMark(True), RepMark(True, "a"), RepMark(False, "cb"), RepMark())
    assert [row_text(row).strip() for row in mark_rows(marks, 24, 1)] == ["● ●a ✕cb ○"]


def test_large_marks_put_the_letter_under_its_rep():
    made, missed, under = map(row_text, mark_rows((RepMark(True), RepMark(False, "a")), 24, 3))
    assert made == "███ ▀▄▀ "
    assert missed == "▀▀▀ ▀ ▀ "
    assert under.index("a") == 5


def test_too_many_reps_to_draw_are_counted():
    marks = (RepMark(True),) * 19 + (RepMark(False, "a"),)
    assert row_text(mark_rows(marks, 24, 3)[0]) == "19 of 20 made 1 ✕ a"


@pytest.mark.parametrize("load", ["8", "62.5", "102.5", "1002.25", "100002.25"])
@pytest.mark.parametrize("reps", ["× 5", "× 12", ""])
@pytest.mark.parametrize("rows", [1, 3, 4])
def test_a_load_is_never_cut(load, reps, rows):
    drawn = load_rows(load, "kg", reps, 24, rows)
    lines = [row_text(row) for row in drawn]
    assert max(map(row_width, drawn)) <= 24
    plain = f"{load} kg {reps}".strip() in [line.strip() for line in lines]
    assert plain or has_big(lines, load) or has_big(lines, load, "tall")
    assert any("kg" in line for line in lines)
    count = reps.removeprefix("× ")
    assert plain or any(f"×{count}" in line for line in lines) or has_big(lines, count) or has_big(lines, count, "tall")


def test_with_four_stations_across_eighty_columns_the_load_is_still_large():
    lines = [row_text(row) for row in load_rows("102.5", "kg", "× 5", 18, 3)]
    assert has_big(lines, "102.5")
    assert lines[0].endswith("×5") and lines[1].endswith("kg")


def test_a_hundred_and_two_and_a_half_for_five_is_large_in_the_narrow_card():
    lines = [row_text(row) for row in load_rows("102.5", "kg", "× 5", 24, 3)]
    assert has_big(lines, "102.5")
    assert has_big(lines, "5")
    assert "×" in lines[0]


def test_a_long_name_is_cut_and_stands_whole_beside_the_lift():
    lines = text(replace(REST, name="Aleksandra"), 26, 18)
    assert not has_big(lines, "ALEKSANDRA")
    assert any("Aleksandra" in line for line in lines)


def test_where_lift_and_set_do_not_fit_the_lift_is_said_in_short():
    view = replace(REST, role_line="bench press set 2/3", role_short="bench set 2/3")
    assert "bench press set 2/3" in "\n".join(text(view, 40, 14))
    narrow = "\n".join(text(view, 19, 14))
    assert "bench set 2/3" in narrow and "bench press" not in narrow


def test_a_name_without_drawn_letters_is_written_plain():
    assert any("Юля" in line for line in text(replace(REST, name="Юля"), 26, 18))


def test_the_station_in_hand_is_told_by_border_sign_and_word():
    held, other = text(REST, 26, 18), text(replace(REST, in_hand=False), 26, 18)
    assert held[0].startswith("┏━ ▶ 1 · rack") and "in hand" in held[0]
    assert other[0].startswith("╭─ 1 · rack") and "in hand" not in "".join(other) and "▶" not in "".join(other)
    assert held[5].startswith("┃") and other[5].startswith("│")


@pytest.mark.parametrize(
    ("width", "in_hand", "words"),
    [(26, False, "Platform 1 · own ─"), (26, True, "▶ Platform 1 · own "), (46, True, "▶ Platform 1 · own order ")],
)
def test_the_coachs_own_order_is_told_by_the_title_at_any_width(width: int, in_hand: bool, words: str) -> None:
    own = replace(REST, title="Platform 1", stands="own order", stands_short="own", in_hand=in_hand)
    top = text(own, width, 18)[0]
    assert words in top
    assert ("in hand" in top) is (in_hand and width > 40)


@pytest.mark.parametrize("height", [14, 15, 18, 20, 24])
def test_the_time_until_the_next_lifter_is_never_cut(height):
    assert any("Margit" in line and "in 3:10" in line for line in text(REST, 26, height))


@pytest.mark.parametrize(("width", "height"), [(26, 18), (26, 24), (46, 34)])
def test_the_heights_are_shown_before_stepping_up(width, height):
    joined = " ".join(text(REST, width, height))
    assert "rack 12" in joined and "safeties 5" in joined


def test_a_held_lifter_is_said_in_large_letters():
    assert has_big(text(replace(REST, status=Status.HELD, rest_text=""), 26, 18), "HELD")


class Watched(StationCard):
    """A card that notes which lines it was asked to draw."""

    def __init__(self, view: CardView) -> None:
        super().__init__(view)
        self.drawn: list[int] = []

    def render_line(self, y: int) -> Strip:
        self.drawn.append(y)
        return super().render_line(y)


class Bench(App[None]):
    def __init__(self) -> None:
        super().__init__()
        self.card = Watched(REST)

    def compose(self) -> ComposeResult:
        yield self.card


@pytest.mark.asyncio
async def test_only_the_lines_that_changed_are_drawn_again():
    app = Bench()
    async with app.run_test(size=(26, 18)) as pilot:
        await pilot.pause()
        app.card.drawn.clear()
        later = replace(REST, next_wait="in 3:09")
        before, after = card_lines(REST, 26, 18), card_lines(later, 26, 18)
        changed = [y for y in range(18) if before[y] != after[y]]
        assert app.card.show(later) == len(changed) == 1
        await pilot.pause()
        assert app.card.drawn == changed
        assert app.card.view is later


@pytest.mark.asyncio
async def test_the_same_words_draw_nothing():
    app = Bench()
    async with app.run_test(size=(26, 18)) as pilot:
        await pilot.pause()
        app.card.drawn.clear()
        assert app.card.show(replace(REST)) == 0
        await pilot.pause()
        assert app.card.drawn == []


@pytest.mark.asyncio
async def test_a_resized_card_is_drawn_whole_for_its_new_size():
    app = Bench()
    async with app.run_test(size=(26, 18)) as pilot:
        await pilot.pause()
        await pilot.resize_terminal(46, 34)
        await pilot.pause()
        shown = [app.card.render_line(y).text for y in range(34)]
        assert shown == text(REST, 46, 34)
