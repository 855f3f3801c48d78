"""A screen made of the record: read in a thread of its own, again whenever something was recorded."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, ClassVar, Generic, TypeVar
from zoneinfo import ZoneInfo

from textual.events import Key
from textual.worker import Worker, WorkerState

from floor.journal.errors import JournalError
from floor.journal.log import Connection
from floor.tui.keys import keys_of
from floor.tui.screens.base import EveningScreen

READING = "reading the record …"
"""Stands where the record will."""

NOT_YET = "The record is still being read: that key did nothing, press it again."
"""What a key says that can't act before."""

Found = TypeVar("Found")
"""What a reading gives."""


@dataclass(frozen=True, slots=True)
class Unread:
    """The record could not be read, and why."""

    words: str


class FromRecord(EveningScreen, Generic[Found]):
    """Shows `found` as soon as it has been read; the keys never wait for it.

    A subclass gives `reader`, which is made on the app's thread (it may look at
    the state) and run on another (it may only use its cursor).
    """

    where: ClassVar[str]
    """What the table of keys calls the screen."""

    found: Found | None = None
    unread: str = READING

    _read_at: int = -1
    _at_work: bool = False

    def reader(self, now: datetime) -> Callable[[Connection], Found]:
        """What reads, for the state as it is now."""
        raise TypeError(f"{type(self).__name__} reads nothing")

    def acting(self) -> frozenset[str]:
        """The actions that can act now."""
        raise TypeError(f"{type(self).__name__} has no keys")

    def typed(self, event: Key) -> bool:
        """While the record is read, a key that waits for it says so: what is typed after it must not act instead."""
        if self.found is not None or not (event.is_printable or event.key == "enter"):
            return False
        if any(key.action in self.acting() for key in keys_of(self.where) if event.key.lower() == key.key):
            return False
        self.house.say(NOT_YET if self.unread == READING else self.unread)
        return True

    def today(self, now: datetime) -> date:
        """The gym's own date."""
        return now.astimezone(ZoneInfo(self.house.session.zone)).date()

    def keep_fresh(self, now: datetime) -> None:
        """Read again when the record has moved on since the last reading, one reading at a time."""
        head = self.house.session.journal.head.seq
        if self._at_work or self._read_at == head:
            return
        self._read_at = head
        read = self.reader(now)
        try:
            cursor = self.house.session.journal.cursor()
        except JournalError as error:
            self.found, self.unread = None, str(error)
            return
        self._at_work = True

        def work() -> Found | Unread:
            try:
                return read(cursor)
            except JournalError as error:
                return Unread(str(error))
            finally:
                cursor.close()

        self.run_worker(work, thread=True, group="record", exit_on_error=True)

    def show_early(self, found: Found) -> None:
        """Show what is known already, unless all of it is. A reader asks for it by `call_later`, from its thread."""
        if self.found is None and self.is_mounted:
            self.found, self.unread = found, ""
            self.house.show()

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """What was read goes on screen; a reading whose screen is gone goes nowhere."""
        worker: Worker[Any] = event.worker
        if worker.group != "record" or event.state is not WorkerState.SUCCESS:
            return
        self._at_work = False
        if isinstance(worker.result, Unread):
            self.found, self.unread = None, worker.result.words
        else:
            self.found, self.unread = worker.result, ""
        self.house.show()
