"""Questions about sets: seen late, put right, the ramp, the load, the bar."""

from __future__ import annotations

from collections.abc import Iterable

from floor.core import commands as c
from floor.core.board import last_done, place, proposal_after
from floor.core.decide.afterwards import stop_after
from floor.core.queue import promised_line
from floor.core.state import DONE, PLANNED, Present, TheSet
from floor.tui.asking.lifting import LiftingQuestions
from floor.tui.dialogs.ask import AskLoad
from floor.tui.dialogs.setform import SetAnswer, SetForm, SetRow
from floor.tui.present_proposal import ARROW, proposal_words


class SetQuestions(LiftingQuestions):
    """Late sets, corrections, ramps and loads by hand."""

    def _rows(self, presents: Iterable[Present], status: str) -> list[SetRow]:
        return [self._row(p, s) for p in presents for s in p.sets if s.status == status]

    def _row(self, present: Present, the_set: TheSet) -> SetRow:
        lift = self.state.gym.lifts[the_set.lift]
        n, m = place(present, the_set)
        done = the_set.status == DONE
        return SetRow(
            lifter=present.lifter, name=self.called(present.lifter), set_no=the_set.no, lift_name=lift.name,
            words=f"{'ramp' if the_set.role == 'ramp' else 'set'} {n} of {m}", reps=the_set.reps, load=the_set.load,
            faults=the_set.faults, fault_keys=lift.faults, made=the_set.made if done else the_set.reps,
            missed=the_set.missed, grade=the_set.grade,
        )

    def action_whole_set(self) -> None:
        """A set seen late: whoever is up at this station first, then the others in line, then everyone."""
        line = [t.lifter for t in promised_line(self.state, self.hand)]
        free = [p for p in self.state.evening.here.values() if p.running() is None]
        order = sorted(free, key=lambda p: (line.index(p.lifter) if p.lifter in line else len(line), p.lifter))
        rows = [row for p in order if (row := self._first_planned(p)) is not None]
        rows += [r for r in self._rows(order, PLANNED) if r not in rows]
        rows += [self._row(p, s) for p in order for s in p.sets if stop_after(p, s) is not None]
        if not rows:
            self.house.say("Nobody has a set left to record.")
            return
        self.app.push_screen(SetForm("A set seen late", rows, self.state.gym.unit, "late"), self._record)

    def _first_planned(self, present: Present) -> SetRow | None:
        coming = present.pending()
        return self._row(present, coming) if coming is not None else None

    def _record(self, answer: SetAnswer | None) -> None:
        if answer is None or answer.grade is None:
            return
        record = c.RecordWhole(
            answer.lifter, answer.set_no, answer.made, answer.missed, answer.grade, answer.load,
            tuple(answer.faults), answer.minutes * 60,
        )
        self.act_if_sure(record, "record it", lambda: self._say_proposal(answer))

    def _say_proposal(self, answer: SetAnswer) -> None:
        """What a set led to, behind what was done, where the panel of the station in hand does not say it."""
        present = self.state.evening.here[answer.lifter]
        done = present.set(answer.set_no)
        proposal = proposal_after(self.state, present, done) if done is not None else None
        shown = last_done(self.state, self.hand)
        if proposal is None or (shown is not None and shown[0].lifter == answer.lifter and shown[1] == done):
            return
        did, dot, follows = self.house.message.partition(" · ")
        asked = proposal_words(self.state, proposal, short=True).strip()
        self.house.say(f"{did}{ARROW}{asked}{dot}{follows}")

    def action_put_right(self) -> None:
        """An older set: the latest first."""
        done = [(p, s) for p in self.state.evening.here.values() for s in p.sets if s.status == DONE and s.down]
        done.sort(key=lambda pair: pair[1].down or pair[0].arrived, reverse=True)
        if not done:
            self.house.say("No set is recorded yet.")
            return
        rows = [self._row(p, s) for p, s in done]
        self.app.push_screen(SetForm("Put a set right", rows, self.state.gym.unit, "right"), self._put_right)

    def _put_right(self, answer: SetAnswer | None) -> None:
        if answer is None:
            return
        was = self.state.evening.here[answer.lifter].set(answer.set_no)
        if was is None:
            return
        before, after = list(was.faults), list(answer.faults)
        withdraw = [f for f in before if f not in after]
        add = [f for f in after if f not in before]
        right = c.PutRight(
            answer.lifter, answer.set_no, answer.made, answer.missed, answer.load, answer.grade,
            tuple(add), tuple(withdraw),
        )
        key = (answer.lifter, was.lift)
        stood = self.state.evening.proposals.get(key)

        def then() -> None:
            if self.state.evening.proposals.get(key) is not stood:
                self._say_proposal(answer)

        self.act_if_sure(right, "put it right", then)

    def action_ramp_done(self) -> None:
        """All ramp sets of the lift in hand."""
        present = self.in_hand()
        if present is not None:
            self.act(c.RampDone(present.lifter))

    def action_start_work(self) -> None:
        """The ramp is done and the work set starts: two commands, two steps to undo."""
        present = self.in_hand()
        if present is None:
            return
        coming = present.pending()
        if (coming is None or coming.role != "ramp" or self.act(c.RampDone(present.lifter))) and self.in_hand():
            self.ask_start()

    def action_load(self) -> None:
        """Another load for the lifter at the bar."""
        present = self.in_hand()
        coming = present.pending() if present else None
        if present is None or coming is None:
            return
        title = f"{self.called(present.lifter)}: {self.state.gym.lifts[coming.lift].name}, load"
        lifter = present.lifter

        def changed(load: int | None) -> None:
            if load is not None:
                self.act_if_sure(c.ChangeLoad(lifter, load), "set it")

        self.app.push_screen(AskLoad(title, self.state.gym.unit, coming.load), changed)

    def action_bar_found(self) -> None:
        """The bar isn't like that."""
        station = self.state.gym.station(self.hand)

        def found(load: int | None) -> None:
            if load is not None:
                self.act(c.BarFound(station.id, load))

        title = f"{station.name}: what is really on the bar, in all?"
        self.app.push_screen(AskLoad(title, self.state.gym.unit, None), found)
