"""The questions that stand on the week screen: asked in a child process, and again when more is recorded."""

from __future__ import annotations

from collections.abc import Callable
from threading import Event

from floor.asking import Asker
from floor.background import Answer, Question
from floor.core.questions import ON_WEEK, Kept
from floor.session import Session

FEW = 20
"""Rows asked of an answer: more are never shown here."""

SECONDS = 5.0
"""How long each may run."""


class WeekAsked:
    """Asks what stands on the week screen; `answers` as they come. One thread calls `ask`, any calls `close`."""

    def __init__(self, session: Session, say: Callable[[str], None]) -> None:
        """`say` is given a sentence, in the asking thread, when a question must wait for the record."""
        self._session = session
        self._say = say
        self._asker: Asker | None = None
        self._closed = Event()
        self._head = -1
        self.answers: tuple[tuple[str, Answer | None], ...] = ()

    def due(self) -> tuple[Kept, ...]:
        """The questions to ask now; none when they were asked of all that is recorded. On the app's own thread."""
        head = self._session.journal.head.seq
        if head == self._head or self._closed.is_set():
            return ()
        self._head = head
        try:
            kept = tuple(q for q in self._session.kept_questions() if q.week)[:ON_WEEK]
        except ValueError:
            kept = ()  # the question pane says what is wrong with the document
        before = dict(self.answers)
        self.answers = tuple((q.name, before.get(q.name)) for q in kept)
        return kept

    def ask(self, kept: tuple[Kept, ...], tell: Callable[[], None]) -> None:
        """Ask one after the other and `tell` after each; ends early when closed. In a thread."""
        if self._asker is None:
            self._asker = Asker(self._session, FEW, SECONDS, self._say)
        for question in kept:
            if self._closed.is_set():
                break
            started = self._asker.ask(question.sql)
            answer = started.wait(SECONDS * 2) if isinstance(started, Question) else started
            if isinstance(started, Question):
                started.stop()
            if answer is not None and not self._closed.is_set():
                self.answers = tuple((n, answer if n == question.name else a) for n, a in self.answers)
                tell()
        if self._closed.is_set():
            self._asker.close()

    def close(self) -> None:
        """Ask no more; what runs is stopped."""
        self._closed.set()
        if self._asker is not None:
            self._asker.close()
