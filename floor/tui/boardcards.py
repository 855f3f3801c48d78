"""The cards of the board, made anew only where something has changed since they were made."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from floor.core.state import State
from floor.core.touched import touched
from floor.tui.present import Standing, at_time, standing
from floor.tui.widgets.cardview import CardView


class BoardCards:
    """Every station's card as `present.card` says it: what an event does not concern is not worked out again."""

    def __init__(self) -> None:
        self._state: State | None = None
        self._names: Mapping[int, str] = {}
        self._made: dict[int, Standing] = {}

    def show(self, state: State, names: Mapping[int, str], now: datetime, hand: int) -> dict[int, CardView]:
        """The card of each station at this moment, by its number; `hand` is the station in hand."""
        if self._state is None or names != self._names:
            self._made = {}
        else:
            for station in touched(self._state, state):
                self._made.pop(station, None)
        self._state, self._names = state, names
        for station in state.evening.stations:
            if station not in self._made:
                self._made[station] = standing(state, station, names)
        return {
            station: at_time(self._made[station], state.gym, now, station == hand)
            for station in state.evening.stations
        }
