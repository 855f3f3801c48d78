"""A lifter's stage of a lift: whose, in large letters, where they are now, and one key for the stage proposed."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text

from floor.core.gym import Lift
from floor.tui.dialogs.pick import Option, Pick
from floor.tui.draw.bigtext import big, spelled
from floor.tui.widgets.lines import Line


class PickStage(Pick):
    """Answers the number of a stage. The cursor starts at the one `proposed`, else at the stage `now`."""

    def __init__(self, name: str, lift: Lift, now: int, proposed: int | None) -> None:
        stage = lift.stage(now)
        hints = {proposed: "shown: sign it off", now: "now"}
        options = [Option(s.no, s.name, hints.get(s.no, "")) for s in lift.stages]
        title = f"{name}, {lift.name}: stage {now}{f', {stage.name}' if stage else ''}. Which stage?"
        hint = "" if proposed is None else f"Enter: up to stage {proposed}, as proposed."
        super().__init__(title, options, hint, first=now if proposed is None else proposed)
        self.name_large = name

    def head(self, width: int) -> list[Line]:
        """The name large, then the question."""
        large: Sequence[str] = big(self.name_large, width) if spelled(self.name_large) else ()
        return [*(Text(line, "bold") for line in large), *super().head(width)]
