"""One open gym file: connecting, transactions that change all or nothing, and noticing that the file is gone."""

from __future__ import annotations

import os
import re
import threading
import weakref
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import duckdb

from floor.journal.errors import CommitFailed, GymBusy, GymDamaged, GymGone, JournalError, NotAGym
from floor.journal.rows import Head

MEMORY = "150MB"
"""What DuckDB may hold of the gym file; past it a large sort goes through files beside the gym."""


OWNERS = 0o600
"""Who may read a gym file that was made here: its owner alone, because it holds names and notes."""

SHUT_TRIES, SHUT_PAUSE = 200, 0.01
"""How often closing is tried while a thread's reading is broken off, and seconds between: a call ends within some."""


def first_line(error: BaseException) -> str:
    """What a DuckDB error says, on one line, without its category and full stop."""
    text = str(error).strip().splitlines()[0] if str(error).strip() else type(error).__name__
    return re.sub(r"^[A-Z][A-Za-z ]* (?:Error|error): ", "", text).rstrip(".! ")


def why_not(error: BaseException) -> str:
    """The system's own reason in a DuckDB error (No space left on device), without the file before it."""
    return first_line(error).rpartition('": ')[2]


def connect(path: Path, kept: Path | None = None) -> duckdb.DuckDBPyConnection:
    """Open the file with its clock set to UTC.

    Raises GymBusy, NotAGym or GymDamaged; `kept` is the copy the last one names.
    """
    try:
        connection = duckdb.connect(str(path))
        for setting in ("TimeZone = 'UTC'", f"memory_limit = '{MEMORY}'"):
            connection.execute(f"SET GLOBAL {setting}")
    except duckdb.Error as error:
        text = str(error)
        if "Could not set lock" in text or "used by another process" in text:
            holder = re.search(r"PID (\d+)", text)
            raise GymBusy(path, int(holder[1]) if holder else None) from error
        if "not a valid DuckDB database" in text:
            raise NotAGym(path) from error
        if isinstance(error, duckdb.IOException) and "Cannot open file" in text:
            why = f"{why_not(error)}; a gym has to stand where it can be written"
            raise NotAGym(path, why) from error
        raise GymDamaged(path, first_line(error), kept) from error
    return connection


@contextmanager
def transaction(connection: duckdb.DuckDBPyConnection) -> Iterator[None]:
    """Commit what happens inside, or take all of it back."""
    connection.execute("BEGIN TRANSACTION")
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        # a failed COMMIT has rolled back by itself; a dead instance is reopened by Database
        with suppress(duckdb.Error):
            connection.execute("ROLLBACK")
        raise


def read_head(connection: duckdb.DuckDBPyConnection) -> Head:
    """The last row's numbers and chain."""
    rows = connection.execute(
        "SELECT seq, cmd, chain FROM event WHERE seq = (SELECT max(seq) FROM event)"
    ).fetchall()
    return Head(*rows[0]) if rows else Head()


class Database:
    """A connection that survives its own failures.

    After a failed write the connection is tried, and reopened when DuckDB has
    given the instance up (a full disk during a checkpoint does that). Other threads
    get theirs from a second one: DuckDB refuses a connection that is in use, so a
    thread that touched the first could make a commit fail.
    """

    def __init__(self, path: Path, connection: duckdb.DuckDBPyConnection) -> None:
        self.path = path
        self.head = read_head(connection)
        self._connection: duckdb.DuckDBPyConnection | None = None
        self._spare: duckdb.DuckDBPyConnection | None = None
        self._lent: weakref.WeakSet[duckdb.DuckDBPyConnection] = weakref.WeakSet()
        self._turn = threading.RLock()
        self._take(connection)
        self._file = self._identity()

    def _identity(self) -> tuple[int, int]:
        try:
            found = os.stat(self.path)
        except OSError as error:
            raise GymGone(self.path) from error
        return found.st_dev, found.st_ino

    def still_there(self) -> None:
        """Raise GymGone when the path no longer leads to the file that is open."""
        if self._identity() != self._file:
            raise GymGone(self.path)

    @property
    def connection(self) -> duckdb.DuckDBPyConnection:
        """The open connection, for the thread that owns the journal."""
        if self._connection is None:
            self._reopen()
        assert self._connection is not None
        return self._connection

    def _reopen(self) -> None:
        self.close()
        self.still_there()
        connection = connect(self.path)
        try:
            head = read_head(connection)
        except duckdb.Error as error:
            connection.close()
            raise GymDamaged(self.path, first_line(error)) from error
        self._take(connection)
        if head != self.head:
            self.close()
            raise JournalError(f"{self.path.name} holds more than the screen shows; close and open it again.")

    def commit(self, write: Callable[[duckdb.DuckDBPyConnection], None], head: Head) -> None:
        """Do `write` in one transaction and move to `head`; raises CommitFailed when nothing was changed."""
        self.still_there()
        try:
            connection = self.connection
            with transaction(connection):
                write(connection)
        except duckdb.Error as error:
            if not self._landed(head):
                raise CommitFailed(why_not(error)) from error
        self.head = head
        self._log_like_the_file()

    def _log_like_the_file(self) -> None:
        """Whoever may not read the file may not read its log, which DuckDB makes anew after every checkpoint."""
        log = self.path.with_name(self.path.name + ".wal")
        with suppress(OSError):
            mode = self.path.stat().st_mode & 0o777
            if log.stat().st_mode & 0o777 != mode:
                log.chmod(mode)

    def _landed(self, head: Head) -> bool:
        """Whether a write that reported an error is in the file all the same."""
        for _ in range(2):
            if self._connection is not None:
                try:
                    return head != self.head and read_head(self._connection) == head
                except duckdb.Error:
                    self.close()
            try:
                self._take(connect(self.path))
            except JournalError:
                return False  # looked at again, and compared, before the next write
        return False

    def checkpoint(self) -> bool:
        """Move the log into the file; False when it could not be done now (a reader, a full disk)."""
        try:
            self.connection.execute("CHECKPOINT")
        except duckdb.Error:
            try:
                read_head(self.connection)
            except duckdb.Error:
                self.close()  # a failed checkpoint kills the instance; the next use opens it again
            return False
        return True

    def cursor(self) -> duckdb.DuckDBPyConnection:
        """A second connection for another thread or a long read; the caller closes it."""
        with self._turn:
            if self._spare is None:
                self._reopen()
            assert self._spare is not None
            lent = self._spare.cursor()
            self._lent.add(lent)
            return lent

    def _take(self, connection: duckdb.DuckDBPyConnection) -> None:
        """Work with that connection from here on."""
        with self._turn:
            self._connection, self._spare = connection, connection.cursor()

    def swap(self, fresh: Path) -> None:
        """Put `fresh`, a whole copy of this file, in this file's place."""
        self.still_there()
        self.close()
        log = self.path.with_name(self.path.name + ".wal")
        if log.exists() and log.stat().st_size > 0:
            raise OSError(f"{log.name} could not be emptied")
        os.replace(fresh, self.path)
        self._file = self._identity()
        self._reopen()

    def close(self) -> None:
        """Close the connection; what was committed is in the file or its log.

        What other threads still read is broken off: their connections close with it.
        """
        with self._turn:
            for held in (self._spare, self._connection):
                if held is not None:
                    self._shut(held)
            self._connection, self._spare = None, None

    def _shut(self, held: duckdb.DuckDBPyConnection) -> None:
        """Close one; DuckDB refuses while a connection made from it is in a call."""
        for _ in range(SHUT_TRIES):
            try:
                held.close()
                return
            except duckdb.ResourceInUseException:
                for lent in list(self._lent):
                    with suppress(duckdb.Error):
                        lent.interrupt()
                threading.Event().wait(SHUT_PAUSE)
        held.close()
