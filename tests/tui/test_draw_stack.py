"""The drawn sleeve: true to scale, in order, and never without a plate's number."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.gym import Plate
from floor.tui.draw.spans import row_text, row_width
from floor.tui.draw.stack import draw_stack, mm_per_column, place

STOCK = {
    number: Plate(number, mass, 4, diameter, thickness)
    for number, mass, diameter, thickness in (
        ("25", 2500, 450, 65),
        ("20", 2000, 450, 60),
        ("15", 1500, 450, 50),
        ("10", 1000, 450, 42),
        ("5", 500, 230, 27),
        ("2.5", 250, 190, 20),
        ("1.25", 125, 160, 15),
        ("0.5", 50, 135, 13),
    )
}


def stack(*numbers):
    return tuple(STOCK[number] for number in numbers)


def halves(lines, style, column):
    """Half rows of that style drawn in a column of the body."""
    count = 0
    for line in lines[:-1]:
        cells = [(sign, name) for text, name in line for sign in text]
        sign, name = cells[column]
        if name.removeprefix("on") == name and name in (style, style.replace("plate", "face")):
            count += 1 if sign in "▀▄" else 2
    return count


@pytest.mark.parametrize("height", range(4, 10))
def test_a_full_size_plate_is_as_high_as_the_drawing(height):
    lines = draw_stack(stack("20"), 415, True, 40, height)
    assert halves(lines, "plate0", 4) == 2 * (height - 1)


@pytest.mark.parametrize("height", range(4, 10))
@pytest.mark.parametrize("number", ["5", "2.5", "1.25"])
def test_heights_follow_diameters_to_half_a_row(height, number):
    lines = draw_stack(stack(number), 415, True, 40, height)
    true = STOCK[number].diameter / 450 * 2 * (height - 1)
    assert abs(halves(lines, "plate0", 4) - true) <= 0.5 + 1e-9


@pytest.mark.parametrize("width", [24, 44, 60])
def test_thicknesses_share_one_scale_and_none_is_lost(width):
    scale = mm_per_column(415, width)
    for disc in place(stack("25", "10", "5", "2.5", "0.5"), 415, width, 6):
        assert disc.columns >= 1
        assert disc.columns == 1 or abs(disc.columns - disc.plate.thickness / scale) <= 0.5 + 1e-9


def test_the_whole_sleeve_fills_the_width():
    assert mm_per_column(400, 44) == 10
    lines = draw_stack((), 400, True, 44, 4)
    assert row_text(lines[1]) == "───┃" + "━" * 40


def test_plates_stand_side_by_side_from_the_flange_outwards():
    discs = place(stack("20", "10", "2.5"), 415, 40, 6)
    assert [disc.plate.id for disc in discs] == ["20", "10", "2.5"]
    assert discs[0].column == 4
    for inner, outer in zip(discs, discs[1:], strict=False):
        assert outer.column == inner.column + inner.columns


def test_numbers_stand_under_the_drawing_in_order_with_what_comes_on_marked():
    lines = draw_stack(stack("20", "15", "2.5"), 415, True, 24, 5, {2: "+"})
    assert row_text(lines[-1]).split() == ["20", "15", "+2.5"]


def test_what_stays_has_no_mark():
    lines = draw_stack(stack("20", "15"), 415, True, 24, 5)
    assert "+" not in "".join(map(row_text, lines))


def test_a_wide_plate_carries_its_number_on_its_face():
    lines = draw_stack(stack("25", "25"), 415, True, 44, 8)
    faces = [text for line in lines for text, style in line if style.startswith("face")]
    assert faces == ["25", "25"]


def test_neighbours_differ_without_colour():
    body = row_text(draw_stack(stack("20", "20", "20"), 415, True, 24, 5)[0])
    assert body.strip() == "███▓▓▓███"


def test_the_clip_stands_outside_the_last_plate():
    middle = row_text(draw_stack(stack("20", "10"), 415, True, 44, 6)[2])
    assert middle.index("╫") == 4 + 6 + 4
    assert "╫" not in row_text(draw_stack(stack("20", "10"), 415, False, 44, 6)[2])


def test_a_stack_that_cannot_be_drawn_is_written_out():
    many = stack(*["1.25"] * 9)
    lines = draw_stack(many, 415, True, 24, 4, {8: "+"})
    assert " ".join(map(row_text, lines)).split() == ["1.25"] * 8 + ["+1.25"]


@given(
    st.lists(st.sampled_from(sorted(STOCK)), max_size=7),
    st.integers(20, 60),
    st.integers(4, 9),
    st.sampled_from([320, 415]),
    st.sets(st.integers(0, 6)),
)
def test_it_always_fits_and_every_number_is_there_in_order(numbers, width, height, sleeve, on):
    lines = draw_stack(stack(*numbers), sleeve, True, width, height, dict.fromkeys(on, "+"))
    assert len(lines) == height
    assert {row_width(line) for line in lines} == {width}
    wanted = [("+" if i in on else "") + number for i, number in enumerate(numbers)]
    drawn = place(stack(*numbers), sleeve, width, height)
    in_one_row = sum(map(len, wanted)) + len(wanted) - 1 <= width
    shown = row_text(lines[-1]) if drawn and in_one_row else " ".join(map(row_text, lines))
    assert (shown.split() if numbers else []) == wanted
