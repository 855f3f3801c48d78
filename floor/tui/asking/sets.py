"""Questions about sets: seen late, put right, the ramp, the load, the bar."""

from __future__ import annotations

from collections.abc import Iterable

from floor.core import commands as c
from floor.core.board import place
from floor.core.jumps import jump_from
from floor.core.queue import promised_line
from floor.core.state import DONE, PLANNED, Present, TheSet
from floor.core.units import show_with_unit
from floor.tui.asking.base import FloorBase
from floor.tui.dialogs.ask import AskLoad
from floor.tui.dialogs.setform import SetAnswer, SetForm, SetRow


class SetQuestions(FloorBase):
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
        self.act(
            c.RecordWhole(
                answer.lifter, answer.set_no, answer.made, answer.missed, answer.grade, answer.load,
                tuple(answer.faults), answer.minutes * 60,
            )
        )

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
        self.act(
            c.PutRight(
                answer.lifter, answer.set_no, answer.made, answer.missed, answer.load, answer.grade,
                tuple(add), tuple(withdraw),
            )
        )

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
            self.act(c.StartSet(self.hand))

    def action_load(self) -> None:
        """Another load for the lifter at the bar."""
        present = self.in_hand()
        coming = present.pending() if present else None
        if present is None or coming is None:
            return
        title = f"{self.called(present.lifter)}: {self.state.gym.lifts[coming.lift].name}, load"
        lifter = present.lifter

        unit = self.state.gym.unit

        def changed(load: int | None) -> None:
            if load is None:
                return
            low = jump_from(self.state, lifter, coming.lift, load, coming.load)
            if low is None:
                self.act(c.ChangeLoad(lifter, load))
                return
            than = "planned" if low == coming.load else "the last set"
            more = show_with_unit(load - low, unit)
            question = f"{self.called(lifter)}: {show_with_unit(load, unit)}, {more} more than {than}. Sure?"
            self.if_sure(question, "set it", c.ChangeLoad(lifter, load))

        self.app.push_screen(AskLoad(title, self.state.gym.unit, coming.load), changed)

    def action_bar_found(self) -> None:
        """The bar isn't like that."""
        station = self.state.gym.station(self.hand)

        def found(load: int | None) -> None:
            if load is not None:
                self.act(c.BarFound(station.id, load))

        title = f"{station.name}: what is really on the bar, in all?"
        self.app.push_screen(AskLoad(title, self.state.gym.unit, None), found)
