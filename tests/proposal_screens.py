"""Writes twenty evenings' moments as the screen says them, each with a proposal, and a key to them apart.

    python -m tests.proposal_screens FOLDER

puts `screens/01.txt` to `screens/20.txt` and `answers.txt` into the folder. Someone
who has read the screens alone should be able to name the rule and what it rests on.
"""

from __future__ import annotations

import argparse
import asyncio
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from textual.screen import Screen

from floor.clock import SetClock
from floor.core import commands as c
from floor.core.decide.closing import next_for
from floor.core.evidence.formlimit import Cell
from floor.core.gym import Grade
from floor.core.nexttime import next_reason
from floor.core.people import PersonAdded
from floor.core.proposals import BY_ID, reason
from floor.core.state import RUNNING, TheSet
from floor.session import Session
from floor.tui.app import FloorApp
from floor.tui.screens.close import Close
from floor.tui.screens.lifter import LifterView
from floor.tui.screens.week import Week
from tests.tui.house import done, empty_session, new_clock

SIZE = (80, 24)
ROUGH, BROKEN, SHARP, SOUND, UNSEEN = Grade.ROUGH, Grade.BROKEN, Grade.SHARP, Grade.SOUND, Grade.UNSEEN


class Night:
    """One gym, one evening, told by what the lifters do."""

    def __init__(self, folder: Path) -> None:
        self.clock: SetClock = new_clock()
        self.session: Session = empty_session(folder, self.clock)
        self.names: dict[str, int] = {}

    def joins(self, name: str, *, youth: bool = False, programme: str = "", day: int = 0, **loads: float) -> None:
        """A lifter of the gym with loads for next time, kg."""
        number = len(self.names) + 1
        self.names[name] = number
        done(self.session, c.JoinLifter(number, youth), [PersonAdded(number, f"{name} Example", name)])
        if programme:
            done(self.session, c.GiveProgramme(number, programme, day))
        for lift, load in loads.items():
            done(self.session, c.PlanNext(number, lift, 3, 5, round(load * 100)))

    def arrives(self, name: str, *, seen: Sequence[tuple[str, tuple[Cell, ...]]] = (), to: str = "") -> None:
        """Check-in at the first station, and everything before the lift `to` done in good form."""
        if not self.session.state.open:
            done(self.session, c.OpenSession())
        done(self.session, c.Arrive(self.names[name], 1, seen=tuple(seen)))
        while to and (coming := self.coming(name)) is not None and coming.lift != to:
            self.clock.on(240)
            done(self.session, c.RecordWhole(self.names[name], coming.no, coming.reps, grade=SHARP))

    def coming(self, name: str) -> TheSet | None:
        """The lifter's next set."""
        return self.session.state.evening.here[self.names[name]].pending()

    def ramped(self, name: str) -> None:
        """The ramp of the coming lift, done alone."""
        done(self.session, c.RampDone(self.names[name]))

    def lifts(
        self, made: int | None = None, missed: int = 0, faults: Sequence[tuple[int, str]] = (),
        grade: Grade | None = SHARP, rest: int = 240,
    ) -> None:
        """The set of whoever is up at the first station, after so much rest; faults are (rep, letter)."""
        self.clock.on(rest)
        done(self.session, c.StartSet(1))
        on = next(s for p in self.session.state.evening.here.values() for s in p.sets if s.status == RUNNING)
        for rep in range(1, (on.reps - missed if made is None else made) + 1):
            self.clock.on(3)
            done(self.session, c.CountRep(1, True))
            for _, letter in (f for f in faults if f[0] == rep):
                done(self.session, c.SeeFault(1, letter))
        for _ in range(missed):
            self.clock.on(3)
            done(self.session, c.CountRep(1, False))
        self.clock.on(4)
        done(self.session, c.EndSet(1, grade))

    def two_days_on(self, name: str, programme: str) -> None:
        """The session closed, and the same day of the programme again two days later."""
        done(self.session, c.CloseSession())
        self.clock.on(2 * 86_400)
        done(self.session, c.GiveProgramme(self.names[name], programme, 0))
        self.arrives(name)
        self.ramped(name)

    def rule_at(self, moment: Moment, name: str) -> str:
        """The rule that speaks at the moment: of the standing proposal, of the close to come, or on record."""
        state, number, lift = self.session.state, self.names[name], moment.lift
        lifter = state.lifters[number]
        if moment.where == "close":
            return next_for(state, state.evening.here[number], lift).rule
        if moment.where == "floor":
            return state.evening.proposals[(number, lift)].rule
        return lifter.proposed.rule if lifter.proposed is not None else lifter.plans[lift].rule


@dataclass(frozen=True)
class Moment:
    """What happens up to the moment, whose lift it is about, the rule, what speaks for it, and where it is read.

    `where` is the floor, the close, the lifter's screen or the week; `keys` are pressed there.
    """

    tell: Callable[[Night], None]
    lift: str
    rule: str
    evidence: str
    where: str = "floor"
    keys: tuple[str, ...] = ()


SQUATS, CLEANS = "start3", "week3"
"""The programmes whose first day begins with that lift."""


def squatter(night: Night, name: str = "Ada", *, youth: bool = False, load: float = 60) -> None:
    """Someone whose squats come first tonight, the ramp behind them."""
    night.joins(name, youth=youth, programme=SQUATS, squat=load, press=30)
    night.arrives(name)
    night.ramped(name)


def cleaner(night: Night, stage: int, name: str = "Bo", load: float = 30, seen: tuple[Cell, ...] = ()) -> None:
    """Someone whose cleans come first tonight, on that stage, walk and ramp behind them."""
    night.joins(name, programme=CLEANS, clean=load, squat=60, press=30)
    done(night.session, c.SetStage(night.names[name], "clean", stage))
    night.arrives(name, seen=(("clean", seen),) if seen else ())
    while (coming := night.coming(name)) is not None and coming.role == "ramp":
        night.ramped(name)


def dangerous(night: Night) -> None:
    squatter(night, load=80)
    night.lifts()
    night.lifts(4, faults=((4, "x"),), grade=BROKEN)


def young_and_rough(night: Night) -> None:
    squatter(night, "Cleo", youth=True, load=40)
    night.lifts(faults=((4, "h"), (5, "h")), grade=ROUGH)


def back_a_stage(night: Night) -> None:
    cleaner(night, 9)
    night.lifts(faults=((2, "a"),), grade=ROUGH)
    night.lifts(faults=((1, "a"), (3, "a")), grade=ROUGH)


def knees(night: Night) -> None:
    squatter(night, "Dov", load=70)
    night.lifts(faults=((3, "k"),), grade=SOUND)


def hurried(night: Night) -> None:
    squatter(night, "Finn", load=90)
    night.lifts()
    night.lifts(missed=1, grade=SOUND, rest=70)


def two_short(night: Night) -> None:
    squatter(night, "Gus", load=85)
    night.lifts()
    night.lifts(missed=2, grade=SOUND)


def stage_shown(night: Night) -> None:
    cleaner(night, 9, "Hana")
    for _ in range(3):
        night.lifts()


def to_fix(night: Night) -> None:
    squatter(night, "Ivo", load=65)
    night.lifts(faults=((5, "c"),), grade=SOUND)


def small_twice(night: Night) -> None:
    squatter(night, "Jun", load=50)
    night.lifts(faults=((1, "l"),), grade=SOUND)
    night.lifts(faults=((2, "l"),), grade=SOUND)


def alone(night: Night) -> None:
    squatter(night, "Kim", load=75)
    night.lifts(grade=UNSEEN)


def fell_before(night: Night) -> None:
    squatter(night, "Lea", load=70)
    night.lifts(faults=((4, "r"),), grade=BROKEN)
    night.lifts()


def at_the_limit(night: Night) -> None:
    seen = tuple(Cell(load, days, 12, bad) for load, bad in ((3500, 0), (4000, 2), (4500, 6)) for days in (2, 5, 9))
    cleaner(night, 11, "Mona", 40, seen)
    night.lifts()


def one_step(night: Night) -> None:
    cleaner(night, 11, "Nils", 40)
    night.lifts()


def all_made(night: Night) -> None:
    squatter(night, "Oda", load=60)
    for _ in range(3):
        night.lifts()


def missed_one(night: Night) -> None:
    squatter(night, "Pia", load=72.5)
    night.lifts()
    night.lifts(missed=1, grade=SOUND)
    night.lifts()


def third_time(night: Night) -> None:
    squatter(night, "Rui", load=95)
    for evening in range(3):
        if evening:
            night.two_days_on("Rui", SQUATS)
        night.lifts()
        night.lifts(missed=evening != 1, grade=SOUND)
        night.lifts(missed=1, grade=SOUND)


def lighter_by_hand(night: Night) -> None:
    squatter(night, "Sol", load=80)
    done(night.session, c.ChangeLoad(night.names["Sol"], 7000))
    for _ in range(3):
        night.lifts()


def heavy_pulls(night: Night) -> None:
    """Squats that go on, a deadlift one rep short on two evenings, the clean's positions signed off."""
    night.joins("Tess", programme=SQUATS, squat=67.5, press=30, deadlift=90)
    for lift in ("clean", "deadlift"):
        done(night.session, c.SetStage(1, lift, night.session.state.gym.lifts[lift].stages[-1].no))
    for evening in range(2):
        if evening:
            done(night.session, c.CloseSession())
            night.clock.on(7 * 86_400)
            done(night.session, c.GiveProgramme(1, SQUATS, 0))
        night.arrives("Tess", to="deadlift")
        night.ramped("Tess")
        night.lifts(missed=1, grade=SOUND)
        night.lifts()
    done(night.session, c.CloseSession())


def one_thing_to_fix(night: Night) -> None:
    """Two lifters of a week, one of them with a thing to fix."""
    night.joins("Vic", programme=SQUATS, squat=90, press=30)
    night.arrives("Vic", to="press")
    done(night.session, c.Leave(night.names["Vic"]))
    squatter(night, "Eda", load=55)
    night.lifts()
    night.lifts()
    night.lifts(faults=((3, "d"), (4, "d"), (5, "d")), grade=ROUGH)
    done(night.session, c.CloseSession())


def pain(night: Night) -> None:
    squatter(night, "Uma", load=82.5)
    night.lifts()
    done(night.session, c.ReportPain(night.names["Uma"]))


MOMENTS: tuple[Moment, ...] = (
    Moment(young_and_rough, "squat", "youth-rough",
           "Cleo is a young lifter; squat graded rough, heels lifting in reps 4 and 5; 40 kg was planned"),
    Moment(all_made, "squat", "all-made", "Oda made every rep of 3 x 5 at 60 kg, all sharp", "close"),
    Moment(stage_shown, "clean", "stage-shown", "Hana: 9 clean reps in a row over 3 sets at stage 9"),
    Moment(hurried, "squat", "rest-first", "Finn missed 1 of 5 after resting 1:14 of the 3:00 owed"),
    Moment(knees, "squat", "lighten-fault", "Dov: knees caving in (lighten) in rep 3, though graded sound"),
    Moment(third_time, "squat", "three-repeats-ease",
           "Rui: the third evening running with reps missed at 95 kg: 13, 14 and 13 of 15", "close"),
    Moment(small_twice, "squat", "note-twice", "Jun: looking around (a note) in rep 2, and in rep 1 of the set before"),
    Moment(dangerous, "squat", "dangerous-fault", "Ada: folding under the bar (end) in rep 4"),
    Moment(heavy_pulls, "deadlift", "deadlift-slows",
           "Tess: deadlift repeated twice running at 90 kg, squat goes on, front rack and flat back signed off",
           "lifter", ("right",)),
    Moment(one_step, "clean", "build-adds", "Nils: 3 of 3 made, sharp, at 40 kg; a step is 2.5 kg"),
    Moment(to_fix, "squat", "fix-first", "Ivo: chest dropping (fix) in rep 5, though graded sound"),
    Moment(pain, "squat", "pain-eases", "Uma reported pain and is held", "close"),
    Moment(back_a_stage, "clean", "twice-step-down",
           "Bo: arms bent early in reps 1 and 3, and in rep 2 of the set before; stage 9"),
    Moment(two_short, "squat", "two-reps-short", "Gus: 3 of 5 made after a full rest"),
    Moment(fell_before, "squat", "asked-keeps",
           "Lea: this set sharp, but an earlier set at 70 kg was broken with the back rounding"),
    Moment(missed_one, "squat", "miss-repeats", "Pia: one rep of 15 not made at 72.5 kg, form held", "close"),
    Moment(at_the_limit, "clean", "form-limit", "Mona: one step above 40 kg would pass the form limit"),
    Moment(alone, "squat", "unseen-keeps", "Kim: the set was unseen"),
    Moment(lighter_by_hand, "squat", "lowered-repeats", "Sol lifted 70 kg by hand where 80 was planned", "close"),
    Moment(one_thing_to_fix, "squat", "rough-repeats",
           "Eda: a fault in 3 of 15 watched reps at 55 kg, graded rough", "week"),
)


def text_of(app: FloorApp) -> str:
    """The whole screen in plain letters."""
    strips = app.screen._compositor.render_strips()
    return "\n".join("".join(segment.text for segment in strip).rstrip() for strip in strips) + "\n"


def screen_for(moment: Moment, lifter: int) -> Screen[None] | None:
    """The screen a moment is read on; None for the floor."""
    match moment.where:
        case "close":
            return Close()
        case "lifter":
            return LifterView(lifter)
        case "week":
            return Week()
    return None


async def screen_of(moment: Moment, folder: Path) -> tuple[str, str]:
    """(the screen's letters, the id of the rule that spoke) at that moment."""
    night = Night(folder)
    moment.tell(night)
    who = next(reversed(night.names))
    night.clock.on(5)
    app = FloorApp(night.session, ticking=False)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        if (screen := screen_for(moment, night.names[who])) is not None:
            app.push_screen(screen)
        await pilot.pause()
        await app.workers.wait_for_complete()
        await pilot.press(*moment.keys)
        app.tick()
        await pilot.pause()
        words = text_of(app)
    rule = night.rule_at(moment, who)
    night.session.journal.close()
    return words, rule


async def write(folder: Path) -> None:
    """Every moment's screen, and the key. AssertionError when another rule spoke than the one meant."""
    (folder / "screens").mkdir(parents=True, exist_ok=True)
    key = []
    for number, moment in enumerate(MOMENTS, 1):
        with tempfile.TemporaryDirectory() as gym:
            words, rule = await screen_of(moment, Path(gym))
        assert rule == moment.rule, (number, rule, moment.rule)
        (folder / "screens" / f"{number:02d}.txt").write_text(words, encoding="utf-8")
        sentence = reason(rule) if rule in BY_ID else next_reason(rule)
        key.append(f"{number:02d}.txt\t{rule}\t{sentence}\t{moment.evidence}")
    (folder / "answers.txt").write_text("\n".join(key) + "\n", encoding="utf-8")


def main(given: Sequence[str] | None = None) -> None:
    """Write them."""
    words = argparse.ArgumentParser(prog="python -m tests.proposal_screens", description="Twenty proposals as screens.")
    words.add_argument("folder", type=Path)
    asyncio.run(write(words.parse_args(given).folder))


if __name__ == "__main__":
    main()
