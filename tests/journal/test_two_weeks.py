"""The two weeks as the narrow reading adds them up are the gym's own sets, added up one by one, whatever happened."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from floor.core import commands as c
from floor.core.evidence.trend import WINDOW_DAYS
from floor.core.gym import Grade
from floor.core.maxima import bests
from floor.core.past import Came, SetPast, WeekPast
from floor.core.pastdays import PastDay, PastSet
from floor.core.week import the_week
from floor.journal.twoweeks import read_trends, read_two_weeks
from floor.session import Session
from tests.core.random_evenings import COMMANDS, Wish
from tests.plain_week import added_up
from tests.tui.house import ZONE, check_in, done, new_clock, open_session

LIFTERS = (1, 2, 3, 4)

OURS = (c.OpenSession, c.CloseSession)
"""Commands that the test gives itself."""

Older = tuple[int, int, str, int, int, int, Grade]
"""A set of an older record: days ago, lifter, lift, load, made, missed, grade."""

EVENINGS = st.lists(
    st.tuples(COMMANDS, st.sets(st.integers(0, 25), max_size=4), st.integers(1, 9)), min_size=1, max_size=4
)
"""An evening each: what is done, after which of it something is taken back, the days to the next one."""

BROUGHT: st.SearchStrategy[list[Older]] = st.lists(
    st.tuples(
        st.integers(1, 30), st.sampled_from(LIFTERS), st.sampled_from(("squat", "bench", "clean")),
        st.integers(8, 60).map(lambda n: n * 250), st.integers(1, 6), st.integers(0, 2), st.sampled_from(Grade),
    ),
    max_size=8,
)  # fmt: skip


def day_of(moment: datetime) -> date:
    return moment.astimezone(ZoneInfo(ZONE)).date()


@dataclass
class Plain:
    """What happened, kept evening by evening as the state had it."""

    evenings: dict[int, date] = field(default_factory=dict)
    came: list[Came] = field(default_factory=list)

    def bring(self, session: Session, rows: Sequence[Older]) -> None:
        """Bring an older record in, a session a day."""
        days: dict[int, list[PastSet]] = {}
        for number, (ago, *done_then) in enumerate(rows, 1):
            lifter, lift, *rest = done_then
            days.setdefault(ago, []).append(PastSet(lifter, lift, number, *rest))
        noon = session.clock.now().replace(hour=12)
        past = [PastDay(noon - timedelta(days=ago), tuple(days[ago])) for ago in sorted(days, reverse=True)]
        for number, one in enumerate(past, session.state.sessions + 1):
            self.evenings[number] = day = day_of(one.noon)
            self.came += [Came(number, day, lifter) for lifter in sorted({s.lifter for s in one.sets})]
        if past:
            done(session, c.BringHistory(tuple(past)))

    def play(self, session: Session, wishes: Sequence[c.Command | Wish], back: set[int]) -> None:
        """An evening of whatever was drawn, some of it taken back again; refusals are part of it."""
        check_in(session, *LIFTERS[:3])
        for number, wish in enumerate(wishes):
            for command in [wish] if isinstance(wish, c.Command) else wish.commands(session.state):
                if not isinstance(command, OURS):
                    session.clock.on(20)
                    session.do(command)
            if number in back:
                session.undo()
        if not session.state.open:  # its opening was taken back
            check_in(session, *LIFTERS[:3])
        for command in (c.ResumeAll(), c.EndDrill()):
            session.do(command)
        for station in session.state.evening.stations:
            for command in (c.AllMade(station), c.EndSet(station, Grade.ROUGH)):
                session.do(command)
        evening = session.state.evening
        self.evenings[evening.session] = day = day_of(evening.opened)
        self.came += [Came(evening.session, day, lifter) for lifter in sorted(evening.here)]
        done(session, c.CloseSession())

    def past(self, session: Session) -> WeekPast:
        """All of it as the reading says it, the sets from the gym's whole views."""
        faults: dict[tuple[int, int, int], list[tuple[int, str]]] = {}
        for key, *seen in rows(session, "SELECT (session, lifter, set_no), rep, fault FROM seen_faults"):
            faults.setdefault(key, []).append((seen[0], seen[1]))
        sets = [
            SetPast(
                number, self.evenings[number], lifter, lift, set_no, *rest, Grade(grade),
                faults=tuple(faults.get((number, lifter, set_no), ())),
            )
            for number, lifter, lift, set_no, *rest, grade in rows(session, SETS)
        ]  # fmt: skip
        last = max(self.evenings.values())
        recent = [s for s in sets if s.evening > last - timedelta(days=WINDOW_DAYS)]
        came = tuple(one for one in self.came if one.evening > last - timedelta(days=14))
        return WeekPast(last, tuple(self.evenings.items()), came, added_up(sets, last), bests(recent))


SETS = """
SELECT session, lifter, lift, set_no, "role", "load", made, missed, grade FROM lifted
WHERE grade IS NOT NULL AND "load" IS NOT NULL
"""


def rows(session: Session, sql: str) -> list[tuple[Any, ...]]:
    cursor = session.journal.cursor()
    try:
        return cursor.execute(sql).fetchall()
    finally:
        cursor.close()


@settings(max_examples=12, deadline=None, phases=(Phase.reuse, Phase.generate))
@given(EVENINGS, BROUGHT)
def test_on_any_small_gym_the_week_is_what_its_sets_say_one_by_one(
    evenings: list[tuple[list[c.Command | Wish], set[int], int]], brought: list[Older]
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        clock = new_clock()
        session, plain = open_session(Path(folder), clock), Plain()
        for wishes, back, days in evenings:
            plain.play(session, wishes, back)
            clock.on(days * 24 * 3600)
        plain.bring(session, brought)
        cursor = session.journal.cursor()
        early = read_two_weeks(cursor)
        whole = read_trends(cursor, early)
        cursor.close()
        must = plain.past(session)
        state, names = session.state, session.names
        session.journal.close()
    for before in (False, True):
        assert whole.sessions(before) == must.sessions(before)
    assert (whole.last, whole.came, whole.lifts) == (must.last, must.came, must.lifts)
    assert sorted(whole.bests) == list(must.bests)
    today = day_of(clock.now())
    assert the_week(early, state, names, today, trends=False) == the_week(must, state, names, today, trends=False)
