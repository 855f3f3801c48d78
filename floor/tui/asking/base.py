"""What all of the floor's questions share."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from floor.core.board import on_the_bar
from floor.core.commands import Command
from floor.core.state import Present
from floor.tui.dialogs.confirm import Confirm
from floor.tui.dialogs.pick import KEYS, Option, Pick
from floor.tui.screens.base import EveningScreen


class FloorBase(EveningScreen):
    """The station in hand, names, and lists of lifters to choose from."""

    hand: int = 0

    def called(self, lifter: int) -> str:
        """A lifter's board name."""
        return self.house.session.names.get(lifter, f"lifter {lifter}")

    def in_hand(self) -> Present | None:
        """The lifter at the bar of the station in hand; says so when there is none."""
        on = on_the_bar(self.state, self.hand)
        if on is None:
            self.house.say("Nobody is up at this station.")
            return None
        return on.present

    def here(self) -> list[Present]:
        """Everyone here now, in the order they came: the same in every list."""
        return [p for p in self.state.evening.here.values() if not p.gone]

    def keys_here(self) -> str:
        """The key of each of `here`: the same all evening. A lifter who left keeps theirs, unused."""
        came = zip(KEYS, self.state.evening.here.values(), strict=False)
        return "".join(key for key, present in came if not present.gone)

    def options(self, lifters: Iterable[Present]) -> list[Option]:
        """Lifters to pick from, each with the station they are at."""
        return [Option(p.lifter, self.called(p.lifter), self.state.gym.station(p.station).name) for p in lifters]

    def if_sure(self, question: str, yes: str, command: Command) -> None:
        """Ask once more, and run the command only on a yes."""

        def answered(sure: bool | None) -> None:
            if sure:
                self.act(command)

        self.app.push_screen(Confirm(question, yes), answered)

    def ask_whom_here(self, title: str, then: Callable[[int], object]) -> None:
        """Ask for one of those here and go on with the answer."""
        self.ask_whom(title, self.options(self.here()), then, self.keys_here())

    def ask_whom(
        self, title: str, options: Sequence[Option], then: Callable[[int], object], letters: str = KEYS
    ) -> None:
        """Ask for a lifter (or a station, a stage) by the key before it and go on with the answer."""
        if not options:
            self.house.say("There is nobody to choose.")
            return

        def picked(value: int | str | None) -> None:
            if isinstance(value, int):
                then(value)

        self.app.push_screen(Pick(title, options, letters=letters), picked)
