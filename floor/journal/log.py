"""The journal of a gym: one file, one command at a time, never changed, only followed.

    journal = Journal.open(path, now=now, zone="Europe/Berlin", unit="kg", templates=texts)
    reading = journal.read()
    cmd = journal.append(events, people)

An append returns when its transaction is committed and its line of the tail is
on the disk. A JournalError says in one sentence what went wrong; after
CommitFailed nothing has changed and the next append may work.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from datetime import datetime
from pathlib import Path

import duckdb

from floor.core.events import Event, check
from floor.core.people import Person, PersonChange, PersonRenamed
from floor.journal import bulk, keeping, recovery, views
from floor.journal.database import Database, first_line, transaction
from floor.journal.definitions import adopted, insert_definitions, next_version
from floor.journal.errors import ErasureUnfinished
from floor.journal.opening import OpeningReport, create, open_checked, tail_of
from floor.journal.people import check_changes, copy_fresh, erase, read_people, write_changes
from floor.journal.reading import Reading, read
from floor.journal.rows import Head, insert_rows, rows_after
from floor.journal.tail import Definition, Line, Tail

Connection = duckdb.DuckDBPyConnection


class Journal:
    """An open gym file. One thread appends; other threads use `cursor()`.

    `opening` tells what opening found. `warning` is a sentence while the tail
    can't be written (the record itself is safe), otherwise empty.
    """

    def __init__(self, database: Database, tail: Tail, report: OpeningReport) -> None:
        self._database = database
        self._tail = tail
        self.opening = report
        self.warning = ""

    @classmethod
    def open(
        cls, path: Path | str, *, now: datetime, zone: str, unit: str, templates: Mapping[str, str]
    ) -> Journal:
        """Open the gym file, or make a new one with these templates.

        `zone`, `unit` and `templates` (definition id -> text) matter only when
        the file is new. Raises JournalError.
        """
        path = Path(path)
        connection, report, lines = open_checked(path, lambda c: create(c, now, zone, unit, templates))
        journal = cls(Database(path, connection), Tail(tail_of(path)), report)
        journal._database.checkpoint()
        journal._restart_tail(lines)
        return journal

    @property
    def path(self) -> Path:
        """The gym file."""
        return self._database.path

    @property
    def head(self) -> Head:
        """The last row's numbers and chain."""
        return self._database.head

    def append(self, events: Sequence[Event], people: Sequence[PersonChange] = ()) -> int:
        """Record one command; returns its number. ValueError for events that lack what they need."""
        return self._append(events, people, ())

    def adopt(self, identity: str, text: str, event: Event) -> int:
        """Add the next version of a definition with the event that adopts it; returns the command's number."""
        version = self.next_version(identity)
        if event.kind != "definition_adopted" or (event.definition, event.count) != (identity, version):
            raise ValueError(f"{identity} version {version} needs its own definition_adopted event")
        return self._append([event], (), [(identity, version, text)])

    def next_version(self, identity: str) -> int:
        """The version number `adopt` expects for that definition."""
        return next_version(self._database.connection, identity)

    def _append(
        self, events: Sequence[Event], people: Sequence[PersonChange], definitions: Sequence[Definition]
    ) -> int:
        if not events:
            raise ValueError("a command needs at least one event")
        for event in events:
            check(event)
        before = self.head
        rows, after = rows_after(before, events)
        check_changes(self._database.connection, people)

        def write(connection: Connection) -> None:
            (insert_rows if len(rows) <= bulk.MANY else bulk.insert_all)(connection, rows)
            insert_definitions(connection, definitions)
            write_changes(connection, after.cmd, people)

        self._database.commit(write, after)
        touched = recovery.people_of(rows, [change.id for change in people])
        line = Line(before, after, tuple(rows), tuple(definitions), touched)
        self._follow(line, begins=any(event.kind == "session_opened" for event in events))
        return after.cmd

    def bulk(self, commands: Iterable[Sequence[Event]], people: Sequence[PersonChange] = ()) -> int:
        """Record many commands in one transaction; returns the last number.

        Numbers and chain are those of appending one by one. Notes among
        `people` belong to no command and always stand.
        """
        rows, after = bulk.number_all(self.head, commands)
        if not rows:
            return self.head.cmd
        check_changes(self._database.connection, people)

        def write(connection: Connection) -> None:
            bulk.insert_all(connection, rows)
            write_changes(connection, 0, people)

        self._database.commit(write, after)
        self._database.checkpoint()
        self._restart_tail(self._session_lines())
        return after.cmd

    def read(self) -> Reading:
        """Everything that stands, for folding."""
        return read(self._database.connection)

    def document(self, identity: str) -> str:
        """The text of a definition as it was adopted last; "" when the gym has none of that name."""
        return adopted(self._database.connection).get(identity, (0, ""))[1]

    def people(self) -> dict[int, Person]:
        """Everyone's names and notes as they stand now, by number."""
        return read_people(self._database.connection)

    def rename(self, change: PersonRenamed) -> None:
        """Put a name right; no fact of an evening, so no event tells of it. ValueError for an empty name or nobody."""
        check_changes(self._database.connection, (change,))
        self._database.commit(lambda connection: write_changes(connection, self.head.cmd, (change,)), self.head)

    def forget(self, lifter: int) -> None:
        """Erase a lifter's name and notes for good, from this file, its log and the copies beside it.

        The events stay, under a number. Raises CommitFailed when nothing was changed, and
        ErasureUnfinished when the name is still in the file: forgetting again finishes it.
        """
        self._database.commit(lambda connection: erase(connection, lifter), self.head)
        fresh = self.path.with_name(self.path.name + ".fresh")
        try:
            copy_fresh(self._database.connection, fresh)
            self._database.swap(fresh)
            with transaction(self._database.connection):
                views.keep(self._database.connection)
            recovery.drop_copies(self.path, keep=0)
            keeping.remove(self.path)
        except (duckdb.Error, OSError) as error:
            with suppress(OSError):
                fresh.unlink(missing_ok=True)
            raise ErasureUnfinished(lifter, first_line(error)) from error

    def cursor(self) -> Connection:
        """A connection for another thread or a long read; close it when done."""
        return self._database.cursor()

    def close(self) -> None:
        """Close the file; safe to call twice."""
        self._tail.close()
        self._database.close()

    def _follow(self, line: Line, begins: bool) -> None:
        """Bring the tail to the record; a tail that failed is written anew from the record next time.

        A new session begins a new tail once everything before it is in the gym
        file itself, so that a lost log never takes more than the tail holds.
        """
        try:
            if self.warning:
                self._restart_tail(self._session_lines())
                return
            if begins and self._database.checkpoint():
                self._tail.restart([] if line.events[0].kind == "history_brought" else [line])
            else:
                self._tail.append(line)
            self.warning = ""
        except OSError as error:
            self._tail_failed(error)

    def _restart_tail(self, lines: Iterable[Line]) -> None:
        try:
            self._tail.restart(lines)
            self.warning = ""
        except OSError as error:
            self._tail_failed(error)

    def _tail_failed(self, error: OSError) -> None:
        self.warning = f"Recorded, but the second copy can't be written: {error.strerror or error}."

    def _session_lines(self) -> list[Line]:
        connection = self._database.connection
        first = recovery.proved_from(connection)
        return recovery.session_lines(connection, first, recovery.running_rows(connection, first))
