"""Large letters: told apart, never cut in half, and no wider than the room."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.tui.draw.bigtext import ROWS, big, big_width, fold, half_blocks, spelled
from floor.tui.draw.glyphs import SHEETS, Glyph

SIZES = ("small", "tall")
SIGNS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.,:-+×/' "


def _unlike(one: Glyph, other: Glyph) -> int:
    """Pixels that differ when both are drawn from the left; a difference in width counts its columns."""
    wide = max(len(one[0]), len(other[0]))
    pairs = zip((row.ljust(wide, ".") for row in one), (row.ljust(wide, ".") for row in other), strict=True)
    return sum(a != b for left, right in pairs for a, b in zip(left, right, strict=True))


@pytest.mark.parametrize("size", SIZES)
def test_every_letter_digit_and_sign_is_drawn(size):
    assert set(SIGNS) <= set(SHEETS[size])
    high = {"small": 5, "tall": 7}[size]
    for sign, glyph in SHEETS[size].items():
        assert len(glyph) == high, sign
        assert len({len(row) for row in glyph}) == 1, sign


@pytest.mark.parametrize("size", SIZES)
def test_no_two_digits_differ_by_a_mere_speck(size):
    for one, other in combinations("0123456789", 2):
        assert _unlike(SHEETS[size][one], SHEETS[size][other]) >= 3, (one, other)


@pytest.mark.parametrize("size", SIZES)
def test_no_two_signs_look_the_same(size):
    drawn = [SHEETS[size][sign] for sign in SIGNS]
    assert len(set(drawn)) == len(drawn)


@pytest.mark.parametrize("size", SIZES)
def test_nought_is_nothing_like_eight(size):
    assert _unlike(SHEETS[size]["0"], SHEETS[size]["8"]) >= 3


def test_half_blocks_hold_two_pixel_rows_each():
    pixels = [[True, False, True, False], [True, True, False, False], [True, False, False, True]]
    assert half_blocks(pixels, 2) == ("█▄▀ ", "▀  ▀")


def test_a_word_reads_as_drawn():
    assert big("L1", 20) == ("█   ▄█", "█    █", "▀▀▀  ▀")


def test_accents_fold_to_the_base_letter():
    assert fold("Zoë Åsa Łuká š") == "ZOE ASA LUKA S"
    assert fold("Bjørn Weiß") == "BJORN WEISS"
    assert big("Zoë", 40) == big("ZOE", 40)


def test_a_sign_without_a_drawing_is_a_box_and_can_be_asked_for():
    assert not spelled("Юля")
    assert spelled("Zoë 62.5 × 5")
    assert big("Ю", 9) == ("█▀█", "█ █", "▀▀▀")


@pytest.mark.parametrize("size", SIZES)
def test_a_long_name_is_cut_between_letters_and_marked(size):
    whole, part = big("ALEKSANDRA", 200, size), big("ALEKSANDRA", 30, size)
    kept = next(n for n in range(9, 0, -1) if part[0].startswith(big("ALEKSANDRA"[:n], 200, size)[0]))
    letters = big("ALEKSANDRA"[:kept], 200, size)
    assert part != whole
    assert [row[: len(letters[0])] for row in part] == list(letters)
    assert [row[len(letters[0]) + 1 :] for row in part] == list(big("…", 9, size))


def test_what_just_fits_is_not_cut():
    width = big_width("MARGIT")
    assert big("MARGIT", width) == big("MARGIT", 99)
    assert big("MARGIT", width - 1) != big("MARGIT", 99)


@given(st.text(alphabet=SIGNS + "éøß漢", max_size=14), st.integers(0, 60), st.sampled_from(SIZES))
def test_rows_are_equal_and_never_wider_than_the_room(text, width, size):
    rows = big(text, width, size)
    assert len(rows) == ROWS[size]
    assert len({len(row) for row in rows}) == 1
    assert len(rows[0]) <= width
    if big_width(text.strip(), size) <= width:
        assert len(rows[0]) == big_width(text.strip(), size)
