"""Cautions: short sentences, what matters most first, on the card and in the panel; none is ever cut."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.commands import Arrive
from floor.core.stacks import NO_FULL_SIZE, NOT_TO_DROP, ONE_LIGHT_PAIR
from floor.tui.draw.spans import by_sentences, in_sentences, row_text, sentences
from floor.tui.panel import in_hand
from floor.tui.present import standing
from floor.tui.widgets.cardlines import card_lines
from floor.tui.widgets.cardview import CardView, Status
from tests.core.scenes import PLATFORM, belongs, evening, gym, ready

CARD = CardView(
    title="1 Rack", name="Ben", role_line="deadlift · set 2/3", load_text="62.5", reps_text="× 5", status=Status.UP,
    change_words="off 10; on 5 and 1.25, each side", setup_line="rack 12 · safeties 5",
)
SMALL = [(26, 14), (26, 15), (26, 18), (26, 24), (27, 22), (40, 20), (46, 34)]
CAUTIONS = [lift.caution for lift in gym().lifts.values()]
TO_SAY = [NO_FULL_SIZE, NOT_TO_DROP, ONE_LIGHT_PAIR]


@pytest.mark.parametrize(("width", "height"), SMALL)
@pytest.mark.parametrize("words", TO_SAY)
def test_how_a_pull_starts_and_ends_is_said_on_every_card(width: int, height: int, words: str) -> None:
    said = "\n".join(map(row_text, card_lines(replace(CARD, floor_words=words, caution=CAUTIONS[-1]), width, height)))
    assert sentences(words)[0] in said


@pytest.mark.parametrize(("width", "height"), [*SMALL, (20, 14), (20, 24)])
@pytest.mark.parametrize("words", ["", *TO_SAY])
@pytest.mark.parametrize("caution", CAUTIONS)
def test_a_caution_is_never_cut_inside_a_sentence(width: int, height: int, words: str, caution: str) -> None:
    lines = card_lines(replace(CARD, floor_words=words, caution=caution), width, height)
    said = " ".join(part.strip() for line in lines for part, style in line if style == "warn")
    whole = " ".join(filter(None, (words, caution)))
    assert said == "" or (said in whole and said.endswith(".") and "…" not in said)
    if width >= 26:
        assert said, "and something of it is said"


def test_a_bar_that_may_not_be_dropped_is_said_beside_a_load_that_cannot_be_built() -> None:
    scene = evening(ready(1, PLATFORM, "pull", deadlift=60))
    only = tuple(p for p in gym().plates if p.id == "5")
    bare = replace(scene.state, gym=replace(gym(), plates=only))
    words = standing(bare, PLATFORM, {1: "Ada"}).view.floor_words
    assert words.startswith(NO_FULL_SIZE) and words.endswith("kg on the bar.")


@pytest.mark.parametrize("width", [80, 100, 140])
@pytest.mark.parametrize("lift", ["squat", "press", "bench", "deadlift", "clean"])
def test_the_panel_says_the_whole_caution_in_lines_that_end_with_a_sentence(lift: str, width: int) -> None:
    programme = {"deadlift": "pull"}.get(lift, lift)
    station = next(s.id for s in gym().stations if gym().lifts[lift].needs in s.stands)
    scene = evening(belongs(1, programme, **{lift: 60}), Arrive(1, station))
    lines = [line.plain for line in in_hand(scene.state, station, {1: "Ada"}, width, scene.now)]
    first = next(n for n, line in enumerate(lines) if line.startswith("set  "))
    said = [line for n, line in enumerate(lines) if n == first or (n > first and line.startswith("     "))]
    assert gym().lifts[lift].caution in " ".join(" ".join(said).split())
    assert all(line.endswith(".") and len(line) <= width - 2 for line in said)


SENTENCE = st.text("abc de", min_size=1, max_size=30).map(lambda s: " ".join(s.split())).filter(bool).map("{}.".format)


@given(st.lists(SENTENCE, max_size=5), st.integers(1, 60), st.integers(1, 3))
def test_as_many_whole_sentences_as_fit_in_their_order(said: list[str], width: int, rows: int) -> None:
    lines = in_sentences(" ".join(said), width, rows)
    kept = sentences(" ".join(lines))
    assert len(lines) <= rows and all(len(line) <= width for line in lines)
    assert kept == [] or any(said[n : n + len(kept)] == kept for n in range(len(said)))


@given(st.lists(SENTENCE, max_size=5), st.integers(31, 80))
def test_in_lines_of_sentences_nothing_is_lost(said: list[str], width: int) -> None:
    lines = by_sentences(" ".join(said), width)
    assert " ".join(lines) == " ".join(said) and all(line.endswith(".") for line in lines)
