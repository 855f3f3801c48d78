"""The app's side of the planner: states out after the paint, outlooks in, and to the screens.

    class FloorApp(PlannerSide, ...): ...      # act, show and tick call what is here

The outlook is view state: it belongs to one command and is dropped with it.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from textual.app import App
from textual.message import Message
from textual.timer import Timer

from floor.core.outlook import NO_OUTLOOK, Outlook
from floor.core.pace import Pace
from floor.planning import Planner
from floor.planning_wire import Answer, NoPlan, Request
from floor.session import Session
from floor.tui.screens.base import EveningScreen

AFTER_A_KEY = 0.05
"""Seconds from a key to the state that goes out: after its paint, and once for keys in a row."""
AGAIN = timedelta(seconds=30)
"""A state that stands so long is planned again: its times have moved."""


class Planned(Message):
    """The planner has answered; sent from its thread."""

    def __init__(self, answer: Answer) -> None:
        super().__init__()
        self.answer = answer


class Paced(Message):
    """The gym's pace has been read; sent from the thread that read it."""

    def __init__(self, pace: Pace) -> None:
        super().__init__()
        self.pace = pace


if TYPE_CHECKING:
    _App = App[None]
else:
    _App = object


class PlannerSide(_App):
    """Mixin before `App`. `outlook` is the plan of the state now, NO_OUTLOOK while there is none.

    `no_plan` says why there is none and none is to come.
    """

    session: Session
    planner: Planner | None = None
    no_plan: str = ""
    _pace: Pace | None = None
    _reading_pace: bool = False
    _outlook: Outlook = NO_OUTLOOK
    _plan_timer: Timer | None = None
    _plan_cmd: int = 0
    _plan_sent: datetime = datetime.min.replace(tzinfo=UTC)

    @property
    def outlook(self) -> Outlook:
        """The plan of this very state; NO_OUTLOOK while it is being made."""
        return self._outlook if self._outlook.cmd == self.session.latest else NO_OUTLOOK

    @property
    def latest_outlook(self) -> Outlook:
        """The plan on screen: of this state, or, until the next second, of the one before."""
        return self._outlook

    def plan_from_now_on(self) -> None:
        """Listen to the planner and send it the state. Called once mounted."""
        if self.planner is not None:
            self.planner.listen(lambda answer: self.post_message(Planned(answer)))
            self.plan_soon()

    def plan_soon(self) -> None:
        """Send the state once the key is painted; keys that follow at once are one sending."""
        if self.planner is not None and self._plan_timer is None:
            self._plan_timer = self.set_timer(AFTER_A_KEY, self._send)

    def _send(self) -> None:
        self._plan_timer = None
        if self.planner is None or not self.session.state.open:
            return
        if self._pace is None:
            return self._read_pace()
        self._plan_cmd, self._plan_sent = self.session.latest, self.session.clock.now()
        self.planner.send(Request(self._plan_cmd, self._plan_sent, self.session.state, self._pace))

    def _read_pace(self) -> None:
        """Read the record once, beside the keys: it takes longer than a key may."""
        if not self._reading_pace:
            self._reading_pace = True
            read = self.session.pace_reader()
            self.run_worker(lambda: self.post_message(Paced(read())), thread=True)

    def on_paced(self, message: Paced) -> None:
        """The pace is known: the first state can go out."""
        self._pace = message.pace
        self.plan_soon()

    def plan_tick(self, now: datetime) -> None:
        """Every second: drop what is old, and plan again where the times have moved."""
        if self._outlook.cmd not in (0, self.session.latest):
            self.show_outlook(NO_OUTLOOK)
        if self.session.state.open and (self._plan_cmd != self.session.latest or now - self._plan_sent >= AGAIN):
            self.plan_soon()

    def on_planned(self, message: Planned) -> None:
        """An outlook of the state now goes to the screens; no plan is said."""
        answer = message.answer
        if isinstance(answer, NoPlan):
            self.no_plan = f"no plan: {answer.words}"
            self.show_outlook(NO_OUTLOOK)
        elif answer.cmd == self.session.latest:
            self.no_plan = ""
            self.show_outlook(answer)

    def show_outlook(self, outlook: Outlook) -> None:
        """Give an outlook to every screen of the evening that is open."""
        self._outlook = outlook
        for screen in self.screen_stack:
            if isinstance(screen, EveningScreen) and screen.is_mounted:
                screen.show_outlook(outlook)
