"""The question what next time brings, where the coach wants something else than was proposed."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from floor.core.comingday import coming_lift
from floor.core.commands import PlanNext
from floor.core.decide.closing import lifts_tonight
from floor.core.decide.nextbyhand import proposed_next
from floor.core.nexttime import plan_reason
from floor.tui.dialogs.ask import AskLoad
from floor.tui.dialogs.pick import Option, Pick
from floor.tui.screens.base import EveningScreen


class NextTimeQuestion(EveningScreen):
    """Asks for the load of next time; sets and reps stay as they are planned."""

    def ask_whose_next(self) -> None:
        """Whose, of those who came tonight, and on which of tonight's lifts."""
        names = self.house.session.names
        came = [p for p in self.state.evening.here.values() if p.sets]
        if not came:
            self.house.say("Nobody lifted tonight: the week's screens have everybody's plans.")
            return
        options = [Option(p.lifter, names.get(p.lifter, f"lifter {p.lifter}")) for p in came]
        here = self.state.evening.here
        self._pick("Next time: whose?", options, lambda who: self.ask_lift(int(who), lifts_tonight(here[int(who)])))

    def ask_lift(self, lifter: int, lifts: Sequence[str]) -> None:
        """On which of these lifts of a lifter; not asked where there is one."""
        options = [Option(lift, self.state.gym.lifts[lift].name) for lift in lifts]
        if len(options) == 1:
            self.ask_next(lifter, lifts[0])
        elif options:
            self._pick("Next time: which lift?", options, lambda lift: self.ask_next(lifter, str(lift)))

    def _pick(self, title: str, options: list[Option], then: Callable[[int | str], None]) -> None:
        self.app.push_screen(Pick(title, options), lambda picked: then(picked) if picked is not None else None)

    def ask_next(self, lifter: int, lift: str) -> None:
        """The whole load of next time, beside what is proposed for it."""
        state, now = self.state, self.house.session.clock.now()
        told = proposed_next(state, lifter, lift, now)
        coming = coming_lift(state.gym, state.lifters[lifter], lift) if told is None else None
        if told is None and coming is None:
            self.house.say(f"No day of the programme has the {state.gym.lifts[lift].name}.")
            return
        if told is not None:
            sets, reps, load, why = told.sets, told.reps - told.extra, told.load, plan_reason(told)
        else:
            assert coming is not None
            sets, reps, load, why = coming.sets, coming.reps, coming.load, "nothing is planned yet"
        name = self.house.session.names.get(lifter, f"lifter {lifter}")
        self.app.push_screen(
            AskLoad(f"{name}: {state.gym.lifts[lift].name}, next time", state.gym.unit, load,
                    f"{why[0].upper()}{why[1:]}. Type the whole load: a light day takes its part of it."),
            lambda wanted: self.act_if_sure(PlanNext(lifter, lift, sets, reps, wanted), "set it") if wanted else None,
        )
