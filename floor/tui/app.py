"""The app: the session, the second hand, the message, and which screen is on top."""

from __future__ import annotations

import gc
from collections.abc import Sequence
from typing import ClassVar

from textual.app import App
from textual.binding import BindingType

from floor.core.commands import Command
from floor.core.outlook import Outlook
from floor.core.people import PersonChange
from floor.core.rests import ready_at
from floor.planning import Planner
from floor.session import Done, Failed, Outcome, Session
from floor.tui.afterwords import follow_words
from floor.tui.dialogs.reading import Reading
from floor.tui.guards import CrashGuard, SizeGuard, leave_on_signals
from floor.tui.inturn import KeysInTurn
from floor.tui.keys import bindings
from floor.tui.planner import PlannerSide
from floor.tui.screens.base import EveningScreen
from floor.tui.screens.checkin import CheckIn
from floor.tui.screens.drill import Drill
from floor.tui.screens.floor import Floor
from floor.tui.undoing import Undoing


class FloorApp(CrashGuard, SizeGuard, KeysInTurn, PlannerSide, Undoing, App[None]):
    """Runs one gym file. Holds no facts: the session's state is the only truth."""

    CSS_PATH = "app.tcss"
    ENABLE_COMMAND_PALETTE = False
    TITLE = "floor"
    BINDINGS: ClassVar[list[BindingType]] = bindings("all")
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide")]

    def __init__(
        self, session: Session, opening_words: str = "", ticking: bool = True, planner: Planner | None = None
    ) -> None:
        super().__init__()
        self.session = session
        self.planner = planner
        self.message = ""
        self.lasting = False
        self.questions_asked: list[str] = []
        self._opening_words = opening_words
        self.muted = False
        self.crash_folder = session.journal.path.parent
        self._ticking = ticking
        self._ticked = session.clock.now()

    def on_mount(self) -> None:
        """Open on the floor when a session is open, else on check-in."""
        leave_on_signals(self)
        # What is here now stays: left out of the collector's rounds, which else hold a key up now and then.
        self.call_after_refresh(gc.freeze)
        self.theme = "textual-dark"
        if self.session.state.open and self.session.state.evening.here:
            self.action_floor()
            if self.session.state.evening.drill is not None:
                self.push_screen(Drill())
        else:
            self.action_checkin()
        if self._opening_words:
            self.push_screen(Reading("Read this first", "What opening the gym file found.", [self._opening_words]))
        if self._ticking:
            self.set_interval(0.5, self.tick)
        self.plan_from_now_on()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Undo and the other screens wait while a dialog is open or the keyboard is locked."""
        if action not in ("undo", "questions"):
            return True
        return isinstance(self.screen, EveningScreen) and not self.screen.locked

    def act(self, command: Command, people: Sequence[PersonChange] = (), outlook: Outlook | None = None) -> Outcome:
        """Run a command, beside the plan of now or the `outlook` it was chosen from; say what came of it; show it."""
        outcome = self.session.do(command, people, outlook or self.outlook)
        self._after(outcome)
        return outcome

    def take_back(self) -> None:
        """Take back the latest command and name it."""
        self._after(self.session.undo())

    def _after(self, outcome: Outcome) -> None:
        if isinstance(outcome, Done):
            self.message = " · ".join([outcome.words, *follow_words(self.session, outcome.events)])
            self.lasting = bool(self.session.journal.warning)
            if self.lasting:
                self.message = self.session.journal.warning
            self.plan_soon()
        elif isinstance(outcome, Failed) or not self.lasting:
            self.message, self.lasting = outcome.words, isinstance(outcome, Failed)
        self.show()

    def say(self, words: str, lasting: bool = False) -> None:
        """Put words on the message line until the next command; lasting ones stay until one succeeds."""
        if lasting or not self.lasting:
            self.message, self.lasting = words, lasting
        self.show()

    def show(self) -> None:
        """Give the state to every screen of the evening that is open; the floor is no place without a session."""
        if isinstance(self.screen, Floor) and not self.session.state.open:
            self.action_checkin()
        now = self.session.clock.now()
        for screen in self.screen_stack:
            if isinstance(screen, EveningScreen) and screen.is_mounted:
                screen.show_state(self.session.state, now)

    def tick(self) -> None:
        """Twice a second: the clocks, and the bell when a promised lifter's rest is over."""
        now = self.session.clock.now()
        if self._rest_over_since_last_tick() and not self.muted and self.session.state.gym.settings.bell:
            self.bell()
        self._ticked = now
        self.plan_tick(now)
        self.show()

    def _rest_over_since_last_tick(self) -> bool:
        state, now = self.session.state, self.session.clock.now()
        if not state.open:
            return False
        told = {x for s in state.evening.stations.values() for x in (s.up, s.next) if x is not None}
        for lifter in told:
            ready = ready_at(state.gym, state.evening.here[lifter])
            if ready is not None and self._ticked < ready <= now:
                return True
        return False

    def action_floor(self) -> None:
        """The floor, in place of check-in."""
        self._go(Floor())

    def action_checkin(self) -> None:
        """Check-in, in place of the floor."""
        self._go(CheckIn())

    def _go(self, screen: EveningScreen) -> None:
        if isinstance(self.screen, EveningScreen):
            self.switch_screen(screen)
        else:
            self.push_screen(screen)

    def action_help(self) -> None:
        """The keys."""
        from floor.tui.screens.keyshelp import KeysHelp

        self.push_screen(KeysHelp(type(self.screen).__name__.lower()))

    def action_questions(self) -> None:
        """The SQL pane."""
        from floor.tui.screens.questions import Questions

        self.say("")
        self.push_screen(Questions())
