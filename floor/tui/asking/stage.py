"""The question of a lifter's stage in the teaching order: asked on the floor and at the close."""

from __future__ import annotations

from collections.abc import Iterable

from floor.core.board import stage_shown
from floor.core.commands import SetStage
from floor.core.decide.closing import lifts_tonight
from floor.core.programme import stage_now
from floor.core.state import Present
from floor.tui.dialogs.pick import Option, Pick
from floor.tui.dialogs.pickstage import PickStage
from floor.tui.screens.base import EveningScreen


class StageQuestion(EveningScreen):
    """Signs a stage off, or sets another one; a stage far from the one now is asked about once more."""

    def ask_stage(self, lifter: int, lift_id: str) -> None:
        """Which stage of the lift, for that lifter."""
        lift = self.state.gym.lifts[lift_id]
        now = stage_now(lift, self.state.lifters[lifter])
        name = self.house.session.names.get(lifter, f"lifter {lifter}")
        if now is None:
            self.house.say(f"The {lift.name} has no stages.")
            return

        def picked(stage: int | str | None) -> None:
            if stage == now:
                self.house.say(f"{name} stays on stage {now} of the {lift.name}.")
            elif isinstance(stage, int):
                self.act_if_sure(SetStage(lifter, lift_id, stage), "set it")

        self.app.push_screen(PickStage(name, lift, now, stage_shown(self.state, lifter, lift_id)), picked)

    def ask_whose_stage(self, came: Iterable[Present]) -> None:
        """Whose, and on which of tonight's lifts; first those with a stage that has been shown."""
        state, names = self.state, self.house.session.names
        both = [(p.lifter, lift) for p in came for lift in lifts_tonight(p) if state.gym.lifts[lift].stages]
        both.sort(key=lambda pair: stage_shown(state, *pair) is None)
        if not both:
            self.house.say("Nobody has a lift with stages tonight.")
            return

        def words(lifter: int, lift: str) -> tuple[str, str]:
            shown = stage_shown(state, lifter, lift)
            now = stage_now(state.gym.lifts[lift], state.lifters[lifter])
            hint = f"stage {now}" + (f", shown: up to stage {shown}?" if shown is not None else "")
            return f"{names.get(lifter, f'lifter {lifter}')}, {state.gym.lifts[lift].name}", hint

        options = [Option(at, *words(*pair)) for at, pair in enumerate(both)]

        def picked(at: int | str | None) -> None:
            if isinstance(at, int):
                self.ask_stage(*both[at])

        self.app.push_screen(Pick("Whose stage?", options), picked)
