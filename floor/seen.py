"""What the rules and their reasons need from the past, carried by the command that checks a lifter in.

It is read while the coach looks at the list of check-in, beside the keys, and
read on the key only where that has not happened. What was read ahead is good
for as long as nothing is recorded of that lifter and nothing is taken back.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from threading import Lock

from floor.core.cleanrows import asks_earlier
from floor.core.commands import Arrive, Command
from floor.core.events import Event
from floor.core.evidence.formlimit import Cell
from floor.core.gym import Lift
from floor.core.limits import form_lifts
from floor.core.repeats import repeated
from floor.core.state import CleanRow, Repeat, State
from floor.journal.cleanrows import read_rows
from floor.journal.errors import JournalError
from floor.journal.form import read_form
from floor.journal.log import Connection, Journal
from floor.journal.repeats import read_repeats


@dataclass(frozen=True, slots=True)
class Asked:
    """What a check-in asks of the record: a lifter, the lifts that form holds, those whose load stands repeated.

    And the (lift, stage) that the clean reps of evenings before count for, in the gym as it is.
    """

    lifter: int
    held: tuple[str, ...]
    stood: tuple[str, ...]
    taught: tuple[tuple[Lift, int], ...]
    today: date


@dataclass(frozen=True, slots=True)
class Answer:
    """The watched reps, the evenings that repeated a load, the clean rows: each by lift, as `Arrive` carries them."""

    seen: tuple[tuple[str, tuple[Cell, ...]], ...] = ()
    repeats: tuple[tuple[str, tuple[Repeat, ...]], ...] = ()
    rows: tuple[tuple[str, CleanRow], ...] = ()


def asked(state: State, lifter: int, today: date) -> Asked | None:
    """What checking that lifter in on `today`, the gym's own date, asks; None when there is nothing to read."""
    known = state.lifters.get(lifter)
    if known is None or not known.sessions or (state.open and lifter in state.evening.here):
        return None
    held, stood = tuple(form_lifts(state.gym, known)), repeated(known)
    taught = tuple((state.gym.lifts[lift], stage) for lift, stage in asks_earlier(state.gym, known))
    return Asked(lifter, held, stood, taught, today) if held or stood or taught else None


def read(cursor: Connection, question: Asked) -> Answer:
    """The answer as the record stands now. Raises JournalError; the caller closes the cursor."""
    lifter = question.lifter
    return Answer(
        read_form(cursor, lifter, question.held, question.today) if question.held else (),
        read_repeats(cursor, lifter, question.stood) if question.stood else (),
        read_rows(cursor, lifter, question.taught, question.today) if question.taught else (),
    )


class Seen:
    """The answers for an open gym. One thread uses and forgets them, another may read ahead."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal
        self._lock = Lock()
        self._ahead: dict[int, tuple[Asked, Answer]] = {}
        self._turn = 0
        self._told: dict[int, int] = {}
        self._told_all = 0

    def with_evidence(self, command: Command, state: State, today: date) -> Command:
        """A check-in with what it asks of the record; any other command as it is.

        `today` is the gym's own date. Someone who never came before has no record
        to read. Raises JournalError.
        """
        if not isinstance(command, Arrive) or not state.open or command.seen or command.repeats or command.rows:
            return command
        question = asked(state, command.lifter, today)
        if question is None:
            return command
        with self._lock:
            known, answer = self._ahead.get(question.lifter, (None, Answer()))
        if known != question:
            cursor = self._journal.cursor()
            try:
                answer = read(cursor, question)
            finally:
                cursor.close()
        return replace(command, seen=answer.seen, repeats=answer.repeats, rows=answer.rows)

    def recorded(self, events: Iterable[Event]) -> None:
        """These events are in the record now: whatever was read, or is being read, of whom they tell holds no more."""
        with self._lock:
            self._turn += 1
            for event in events:
                if event.kind in _OF_ANYBODY:
                    self._told_all = self._turn
                    self._ahead.clear()
                for lifter in (event.lifter, event.other):
                    if lifter is not None:
                        self._told[lifter] = self._turn
                        self._ahead.pop(lifter, None)

    def reader(self, state: State, lifters: Sequence[int], today: date) -> Callable[[Callable[[], bool]], None] | None:
        """What reads ahead, once and in any thread, for these lifters; None when nothing of theirs is left to read.

        It is called with a question it asks before each lifter: whether to go on.
        A record that can't be read ends it; the check-in itself will say so.
        """
        questions = [q for q in (asked(state, lifter, today) for lifter in lifters) if q is not None]
        with self._lock:
            turn = self._turn
            left = [q for q in questions if self._ahead.get(q.lifter, (None,))[0] != q]
        if not left:
            return None
        cursor = self._journal.cursor()

        def read_them(go_on: Callable[[], bool]) -> None:
            try:
                for question in left:
                    if not go_on():
                        return
                    self._keep(question, read(cursor, question), turn)
            except JournalError:
                return
            finally:
                cursor.close()

        return read_them

    def _keep(self, question: Asked, answer: Answer, turn: int) -> None:
        """Keep an answer whose reading began on that turn, unless the record told of the lifter since."""
        with self._lock:
            if max(self._told.get(question.lifter, 0), self._told_all) <= turn:
                self._ahead[question.lifter] = question, answer


_OF_ANYBODY = ("undone", "history_brought")
"""Kinds after which nothing that was read is sure to hold: what they change, they do not name."""
