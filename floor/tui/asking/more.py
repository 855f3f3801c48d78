"""Everything else the floor can ask, by letter."""

from __future__ import annotations

from floor.core import commands as c
from floor.core.programme import stage_now
from floor.core.state import Heights
from floor.session import Failed
from floor.sheets import write_sheets
from floor.tui.asking.base import FloorBase
from floor.tui.dialogs.heights import AskHeights
from floor.tui.dialogs.pick import Option, Pick
from floor.tui.keys import MORE


class MoreQuestions(FloorBase):
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
        """Sign a stage off, or step back in the teaching order."""
        present = self.in_hand()
        coming = (present.running() or present.pending()) if present else None
        if present is None or coming is None:
            return
        lift = self.state.gym.lifts[coming.lift]
        lifter = present.lifter
        at = stage_now(lift, self.state.lifters[lifter])
        proposal = self.state.evening.proposals.get((lifter, lift.id))
        shown = proposal.stage if proposal and proposal.action == "step_up" else None
        hints = {shown: "shown: sign it off", at: "now"}
        options = [Option(s.no, s.name, hints.get(s.no, "")) for s in lift.stages]
        title = f"{self.called(lifter)}: {lift.name}, which stage?"
        self.ask_whom(title, options, lambda stage: self.act(c.SetStage(lifter, lift.id, stage)))



    def action_more(self) -> None:
        """Everything else, by letter."""
        options = [Option(m.action, m.words) for m in MORE]

        def picked(action: int | str | None) -> None:
            if isinstance(action, str):
                self.call_later(self.run_action, action if action != "questions" else "app.questions")

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

        self.app.push_screen(Plates())

    def action_week(self) -> None:
        """The week."""
        from floor.tui.screens.week import Week

        self.app.push_screen(Week())

    def action_drill(self) -> None:
        """The group drill."""
        from floor.tui.screens.drill import Drill

        self.app.push_screen(Drill())

    def action_close(self) -> None:
        """Close the session."""
        from floor.tui.screens.close import Close

        self.app.push_screen(Close())

    def action_sheet_entry(self) -> None:
        """Enter sets from the paper sheet."""
        from floor.tui.screens.sheetentry import SheetEntry

        self.app.push_screen(SheetEntry())

    def action_sheet(self) -> None:
        """Write the evening sheet."""
        written = write_sheets(self.house.session)
        self.house.say(written.words, lasting=isinstance(written, Failed))
