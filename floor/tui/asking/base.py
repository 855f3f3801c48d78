"""What all of the floor's questions share."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from zoneinfo import ZoneInfo

from floor.core.board import on_the_bar
from floor.core.commands import IfSure
from floor.core.state import Present
from floor.tui.dialogs.confirm import Confirm
from floor.tui.dialogs.pick import KEYS, Option, Pick
from floor.tui.present_checkin import go_words
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
        """Lifters to pick from, each with the station they are at, and when they must go; or that they left."""
        zone = ZoneInfo(self.house.session.zone)
        told = [
            (p, ["left"] if p.gone else [self.state.gym.station(p.station).name, go_words(self.state, p.lifter, zone)])
            for p in lifters
        ]
        return [Option(p.lifter, self.called(p.lifter), " · ".join(filter(None, said))) for p, said in told]

    def if_sure(self, question: str, yes: str, command: IfSure) -> None:
        """Ask once more, and run the command only on a Y."""

        def answered(sure: bool | None) -> None:
            if sure:
                self.act_if_sure(command, yes)

        self.app.push_screen(Confirm(question, yes, careful=True), answered)

    def ask_whom_here(self, title: str, then: Callable[[int], object]) -> None:
        """Ask for one of those here and go on with the answer."""
        self.ask_whom(title, self.options(self.here()), then, self.keys_here(), self.at_the_bar())

    def at_the_bar(self) -> int | None:
        """The lifter at the bar of the station in hand, None for nobody."""
        on = on_the_bar(self.state, self.hand)
        return on.present.lifter if on is not None else None

    def ask_whom(
        self,
        title: str,
        options: Sequence[Option],
        then: Callable[[int], object],
        letters: str = KEYS,
        first: int | None = None,
    ) -> None:
        """Ask for a lifter (or a station) by the key before it and go on with the answer; the cursor is at `first`."""
        if not options:
            self.house.say("There is nobody to choose.")
            return

        def picked(value: int | str | None) -> None:
            if isinstance(value, int):
                then(value)

        self.app.push_screen(Pick(title, options, letters=letters, first=first), picked)
