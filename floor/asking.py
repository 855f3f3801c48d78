"""Asking a gym a question in SQL: the tables there are, a snapshot to ask, and what an error points at.

Nothing here draws. The SQL screen and a shell command both go through `Asker`.
"""

from __future__ import annotations

import os
import shutil
import stat
import tempfile
import threading
import unicodedata
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from floor.background import Cell, Column, Question, Refused, Table
from floor.journal.errors import JournalError
from floor.journal.snapshot import snapshot
from floor.session import Session
from floor.tables import KG_OR_LB, VIEWS

LIMIT = 1000
"""Rows of one page of an answer."""

SECONDS = 10.0
"""How long a question may run."""

PREFIX = "floor-ask-"
"""How a snapshot folder's name begins; the process number follows."""

_ANSWERS = {"estimate", "heaviest", "planned"}
"""Names the ready questions give to loads of their own."""
_LOADS = {name for view in VIEWS for name, unit in view.columns if unit == KG_OR_LB} | _ANSWERS
_SECONDS = {"rest", "planned"}
_COUNTED = {
    name: unit
    for view in VIEWS
    for name, unit in view.columns
    if unit in ("reps", "plates") and name != unit and name != "planned"
}
"""Columns of whole numbers of something that their name does not say; "planned" is reps or seconds."""
_NUMBERS = {
    "TINYINT", "SMALLINT", "INTEGER", "BIGINT", "HUGEINT", "UTINYINT", "USMALLINT", "UINTEGER", "UBIGINT", "UHUGEINT",
    "FLOAT", "DOUBLE", "DECIMAL",
}  # fmt: skip


FIRST_QUESTION = """-- What was seen on the latest evening, by lift.
SELECT lift, fault_name AS fault, count(*) AS seen
FROM faults
WHERE evening = (SELECT max(evening) FROM sets)
GROUP BY lift, fault_name
ORDER BY seen DESC, lift, fault_name"""
"""A question worth running as it stands, on any evening: kept under a name it stays true.

By the day: older days that were brought in later have higher session numbers.
"""


def header(column: Column, unit: str) -> str:
    """A column's name with its unit, where it is a column of the tables as it stands there."""
    if column.type.startswith("DECIMAL") and column.name in _LOADS:
        return f"{column.name} ({unit})"
    if column.type == "INTEGER" and column.name in _SECONDS:
        return f"{column.name} (s)"
    if column.name in _COUNTED and is_number(column):
        return f"{column.name} ({_COUNTED[column.name]})"
    return column.name


def is_number(column: Column) -> bool:
    """True for a column of numbers, which are set to the right."""
    return column.type.partition("(")[0] in _NUMBERS


LETTERS = 120
"""Letters of a cell that are looked at where less is shown of it: a long one must not hold up the keys."""


def shown(cell: Cell, letters: int | None = None) -> str:
    """A cell as printed: one line, nothing a terminal would act on; a dash for no value.

    With `letters` no more of it is looked at, and it ends in a mark where there is more.
    """
    if cell is None:
        return "–"
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    text = figures(cell) if isinstance(cell, float) else str(cell)
    return printable(text if letters is None or len(text) <= letters else text[:letters] + "…")


def figures(number: float) -> str:
    """A number in six figures; from a million on in whole ones, as long as each of them is known."""
    text = f"{number + 0.0:.6g}"  # nothing has no sign
    return f"{number:.0f}" if "e+" in text and abs(number) < 1e15 else text


def printable(text: str) -> str:
    """The text with every sign that has no shape of its own (a line break, an escape) as a blank."""
    if text.isprintable():
        return text
    return "".join(sign if sign.isprintable() else " " for sign in text)


def count_words(table: Table) -> str:
    """How many rows there are, or that these are only the first; which of them this page has."""
    rows = max(len(table.rows), table.total)
    words = "no rows" if not rows else "1 row" if rows == 1 else f"{rows:,} rows"
    if table.more:
        words = f"first {rows:,} rows; there are more"
    if len(table.rows) < rows:
        words += f" · {table.first + 1:,} to {table.first + len(table.rows):,} here"
    if table.wide > len(table.columns):
        words += f" · {len(table.columns):,} of {table.wide:,} columns"
    return words


def in_one_line(table: Table) -> str:
    """An answer in one line: how many rows, and the first of them, its numbers by their column's name."""
    words = count_words(table)
    if not table.rows:
        return words
    cells = zip(table.columns, table.rows[0], strict=True)
    row = ", ".join(
        f"{shown(c.name, LETTERS)} {shown(cell)}" if is_number(c) else shown(cell, LETTERS) for c, cell in cells
    )
    return f"{words}: {row}" if table.total <= 1 else f"{words}, first: {row}"


def pointed(sql: str, place: int, width: int) -> tuple[str, str]:
    """The line of the question that `place` is in, and below it a mark under that character.

    A line longer than `width` columns is shown from where the mark is still seen.
    """
    row, column = place_of(sql, place)
    line = printable((sql.split("\n") or [""])[row])
    first = max(0, column - width * 2 // 3) if len(line) > width else 0
    head = "…" if first else ""
    before = head + line[first + len(head) : column]
    text = (before + line[column:])[:width]
    return text, " " * columns_wide(before) + "^"


def columns_wide(text: str) -> int:
    """Columns the text takes in a terminal, control signs none."""
    return sum(0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)


def place_of(sql: str, place: int) -> tuple[int, int]:
    """Row and column, both from 0, of the character at `place`."""
    before = sql[: max(0, place)]
    return before.count("\n"), len(before) - (before.rfind("\n") + 1)


_open_askers: set[int] = set()
"""Those not closed. A large gym's kept copy is brought up while there is one alone: nobody else's child reads it."""


class Asker:
    """Asks one session's gym; the snapshots lie in a folder of their own until `close`.

    `folder` is that folder, None before the first question. `ask` may take a
    tenth of a second and needs no more of the session than a cursor and a look
    at its last number: call it from a thread, one at a time.
    """

    def __init__(
        self, session: Session, limit: int = LIMIT, seconds: float = SECONDS,
        tell: Callable[[str], None] = lambda words: None,
    ) -> None:  # fmt: skip
        """`tell` is given a sentence, in the thread that asks, when the first copy of a very large gym must be made."""
        self._tell = tell
        self._session = session
        self._limit = limit
        self._seconds = seconds
        self._lock = threading.Lock()
        self.folder: Path | None = None
        self._snapshot: Path | None = None
        self._asked_of: object = None
        self._questions: list[Question] = []
        self._closed = False
        _open_askers.add(id(self))

    def ask(self, sql: str) -> Question | Refused:
        """Start a question; the snapshot is a new one when something was recorded since the last.

        Refused when there can be no snapshot, or after `close`.
        """
        with self._turn():
            if self._closed:
                return Refused("The record is closed.")
            try:
                question = Question.start(self._fresh(), sql, self._limit, self._seconds, keep=True)
            except (JournalError, OSError) as error:
                return Refused(f"That can't be asked now: {error}")
            self._questions = [q for q in self._questions if not q.ended] + [question]
            return question

    @property
    def fresh(self) -> bool:
        """Whether a question would be asked of everything recorded up to now without taking a snapshot first."""
        return self._snapshot is not None and self._asked_of == self._now()

    def prepare(self) -> bool:
        """Take the snapshot a question will need, so that it need not wait; whether there is one. Asking says why."""
        with self._turn():
            if not self._closed:
                try:
                    self._fresh()
                except (JournalError, OSError):
                    return False
            return True

    def _now(self) -> object:
        return self._session.journal.head, self._session.people

    def _fresh(self) -> Path:
        now = self._now()
        if self._snapshot is None or now != self._asked_of:
            if self.folder is None:
                remove_left_behind()
                self.folder = Path(tempfile.mkdtemp(prefix=f"{PREFIX}{os.getpid()}-"))
            alone = _open_askers == {id(self)}
            self._snapshot = snapshot(self._session.journal, self.folder, alone, lambda: self._closed, self._tell)
            self._asked_of = now
        return self._snapshot

    def close(self) -> None:
        """Stop what still runs and remove the snapshots; nothing can be asked afterwards.

        It never waits: a thread that is taking a snapshot removes them when it has ended.
        """
        self._closed = True
        _open_askers.discard(id(self))
        if self._lock.acquire(timeout=0.05):
            self._clean()
            self._lock.release()

    def _clean(self) -> None:
        """With the lock held, after `close`."""
        for question in self._questions:
            question.stop()
        if self.folder is not None:
            shutil.rmtree(self.folder, ignore_errors=True)

    @contextmanager
    def _turn(self) -> Iterator[None]:
        """One thread at a time; the last one out after `close` cleans up."""
        with self._lock:
            try:
                yield
            finally:
                if self._closed:
                    self._clean()


def remove_left_behind(parent: Path | None = None) -> list[Path]:
    """Remove the snapshot folders of processes of this user that ended without doing it; returns them."""
    removed = []
    for folder in (parent or Path(tempfile.gettempdir())).glob(f"{PREFIX}*-*"):
        pid = folder.name.removeprefix(PREFIX).partition("-")[0]
        if os.name == "posix" and pid.isdigit() and _ours(folder) and not _alive(int(pid)):
            shutil.rmtree(folder, ignore_errors=True)
            removed.append(folder)
    return removed


def _ours(folder: Path) -> bool:
    """A folder (not a link to one) that belongs to this user."""
    found = folder.lstat()
    return stat.S_ISDIR(found.st_mode) and found.st_uid == os.getuid()


def _alive(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except (PermissionError, OverflowError):
        return True
    return True
