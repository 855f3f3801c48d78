"""The board's cards are made anew where an event concerns them, and say the same as if all were made anew."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta

import pytest
from hypothesis import given, settings

from floor.core.commands import BarFound, Command, CountRep, StartSet
from floor.core.state import State
from floor.core.touched import touched
from floor.tui import boardcards, present
from floor.tui.boardcards import BoardCards
from floor.tui.present import Standing, standing
from floor.tui.widgets.cardview import CardView
from tests.core.random_evenings import COMMANDS, START, Wish, play

NAMES = {1: "Ada", 2: "Bo", 3: "Cleo", 4: "Dov", 5: "Edda"}
LATER = timedelta(seconds=45)


def anew(state: State, names: Mapping[int, str], hand: int) -> dict[int, CardView]:
    return {s: present.card(state, s, names, START.now + LATER, s == hand) for s in state.evening.stations}


@settings(deadline=None, max_examples=60)
@given(COMMANDS)
def test_kept_cards_are_the_cards_made_anew_forward_and_back(wishes: list[Command | Wish]) -> None:
    steps = play(wishes)
    board = BoardCards()
    shown = [step.after for step in steps] + [step.before for step in reversed(steps)]  # and all of it undone
    for turn, state in enumerate(shown):
        names = NAMES if turn % 7 else {**NAMES, 1: f"Ada {turn}"}
        hand = 1 + turn % 3
        assert board.show(state, names, START.now + LATER, hand) == anew(state, names, hand)


def test_a_rep_concerns_the_station_where_it_is_made_alone() -> None:
    before = START.when(StartSet(1))
    after = before.when(CountRep(1, True))
    assert after.refusal is None
    assert touched(before.state, after.state) == {1}
    assert touched(after.state, after.state) == frozenset()


def test_plates_that_change_concern_every_station() -> None:
    before = START
    after = before.when(BarFound(1, 6000))
    assert before.state.evening.stations[1].stack != after.state.evening.stations[1].stack
    assert touched(before.state, after.state) == frozenset(after.state.evening.stations)


def test_a_card_that_no_event_concerns_is_not_worked_out_again(monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[int] = []

    def watched(state: State, station: int, names: Mapping[int, str]) -> Standing:
        made.append(station)
        return standing(state, station, names)

    monkeypatch.setattr(boardcards, "standing", watched)
    before = START.when(StartSet(1))
    after = before.when(CountRep(1, True))
    board = BoardCards()
    board.show(before.state, NAMES, before.now, 1)
    made.clear()
    board.show(after.state, NAMES, after.now, 1)
    assert made == [1]
    made.clear()
    board.show(after.state, NAMES, after.now + LATER, 2)
    assert made == []  # time alone and the hand work nothing out
