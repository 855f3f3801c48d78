"""Questions of the clock: when somebody late will come, and when somebody must go."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from zoneinfo import ZoneInfo

from floor.core import commands as c
from floor.core.events import USUALLY_LATE
from floor.core.moments import clock_words, seconds_to
from floor.tui.dialogs.moment import AskMoment
from floor.tui.screens.base import EveningScreen


class TimeQuestions(EveningScreen):
    """Asked alike at check-in and on the floor."""

    def ask_late(self, lifter: int, name: str, then: Callable[[], object] | None = None) -> None:
        """In how many minutes a lifter comes; Enter alone takes the usual delay. Opens the session if none is.

        `then` is called once it is recorded.
        """
        told = self.state.evening.late.get(lifter) if self.state.open else None
        usual = str(USUALLY_LATE // 60) if told is None else clock_words(told, self._zone)

        def answered(at: datetime | str | None) -> None:
            if not isinstance(at, datetime) or not (self.state.open or self.act(c.OpenSession())):
                return
            if self.act(c.ExpectLate(lifter, seconds_to(at, self._clock()))) and then is not None:
                then()

        self.app.push_screen(AskMoment(f"{name} comes late: when?", self._clock, self._zone, initial=usual), answered)

    def ask_leaving(self, lifter: int, name: str) -> None:
        """When a lifter must go; an empty answer takes back what was said before. Opens the session if none is."""
        told = self.state.evening.leaving.get(lifter) if self.state.open else None

        def answered(at: datetime | str | None) -> None:
            if at is None or not (self.state.open or self.act(c.OpenSession())):
                return
            self.act(c.SetLeaving(lifter, seconds_to(at, self._clock()) if isinstance(at, datetime) else None))

        initial, empty = ("", "") if told is None else (clock_words(told, self._zone), "may stay")
        hint = "The plan has the last set done by then, or says that it can't."
        self.app.push_screen(
            AskMoment(f"{name} must go: when?", self._clock, self._zone, hint, initial, empty), answered
        )

    @property
    def _zone(self) -> ZoneInfo:
        return ZoneInfo(self.house.session.zone)

    def _clock(self) -> datetime:
        return self.house.session.clock.now()
