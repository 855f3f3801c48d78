"""Everything else the floor can ask, by letter."""

from __future__ import annotations

from floor.core import commands as c
from floor.core.board import last_done, on_the_bar, stage_shown
from floor.core.state import Heights
from floor.session import Failed
from floor.sheets import write_sheets
from floor.tui.asking.base import FloorBase
from floor.tui.asking.stage import StageQuestion
from floor.tui.dialogs.heights import AskHeights
from floor.tui.dialogs.pick import Option, Pick
from floor.tui.keys import MORE


class MoreQuestions(FloorBase, StageQuestion):
    """Heights, stages, the other screens, the bell and the lock."""

    def action_heights(self) -> None:
        """Rack, safety and bench heights of the lifter at the bar."""
        present = self.in_hand()
        coming = (present.running() or present.pending()) if present else None
        if present is None or coming is None:
            return
        lift = self.state.gym.lifts[coming.lift]
        if not lift.heights:
            self.house.say(f"The {lift.name} has no heights to set.")
            return
        lifter = present.lifter
        held = self.state.lifters[lifter].heights.get(lift.id, Heights())

        def told(heights: Heights | None) -> None:
            if heights is not None:
                self.act(c.SetHeights(lifter, lift.id, heights.rack, heights.safety, heights.bench))

        self.app.push_screen(AskHeights(f"{self.called(lifter)}: {lift.name}", lift.heights, held), told)

    def action_stage(self) -> None:
        """The stage of whoever a proposal on show names; else of whoever is up; with nobody up it is asked whose."""
        last, on = last_done(self.state, self.hand), on_the_bar(self.state, self.hand)
        if last is not None and stage_shown(self.state, last[0].lifter, last[1].lift) is not None:
            self.ask_stage(last[0].lifter, last[1].lift)
        elif on is not None and self.state.gym.lifts[on.set.lift].stages:
            self.ask_stage(on.present.lifter, on.set.lift)
        else:
            self.ask_whose_stage(self.here())

    def action_more(self) -> None:
        """Everything else, by letter."""
        options = [Option(m.action, m.words) for m in MORE]

        async def picked(action: int | str | None) -> None:
            if isinstance(action, str):
                await self.run_action(action if action != "questions" else "app.questions")

        self.app.push_screen(Pick("Everything else", options, letters="".join(m.letter for m in MORE)), picked)

    def action_mute(self) -> None:
        """The bell on or off, on this laptop, for now."""
        self.house.muted = not self.house.muted
        self.house.say("The bell is off." if self.house.muted else "The bell is on.")

    def action_lock(self) -> None:
        """No key acts until Ctrl+K."""
        self.locked = True
        self.house.show()

    def action_unlock(self) -> None:
        """Keys act again."""
        self.locked = False
        self.house.show()

    def action_checkin(self) -> None:
        """Back to check-in."""
        self.house.action_checkin()

    def action_equipment(self) -> None:
        """Plates, bars and stations."""
        from floor.tui.screens.plates import Plates

        self.go_to(Plates())

    def action_week(self) -> None:
        """The week."""
        from floor.tui.screens.week import Week

        self.go_to(Week())

    def action_drill(self) -> None:
        """The group drill."""
        from floor.tui.screens.drill import Drill

        self.go_to(Drill())

    def action_close(self) -> None:
        """Close the session."""
        from floor.tui.screens.close import Close

        self.go_to(Close())

    def action_sheet_entry(self) -> None:
        """Enter sets from the paper sheet."""
        from floor.tui.screens.sheetentry import SheetEntry

        self.go_to(SheetEntry())

    def action_sheet(self) -> None:
        """Write the evening sheet."""
        written = write_sheets(self.house.session)
        self.house.say(written.words, lasting=isinstance(written, Failed))
