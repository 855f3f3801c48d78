"""A gym file that a command made and put nothing into goes again, with all that was made beside it."""

from __future__ import annotations

from contextlib import suppress
from os.path import lexists
from pathlib import Path

from floor.journal.keeping import kept_path
from floor.journal.log import Journal
from floor.journal.opening import tail_of


class Fresh:
    """What is not there yet, looked at before a gym file is opened: only that can be taken away again."""

    def __init__(self, path: Path) -> None:
        files = (path, path.with_name(path.name + ".wal"), tail_of(path), kept_path(path))
        self._files = () if lexists(path) else tuple(one for one in files if not lexists(one))
        self._folders = tuple(folder for folder in path.parents if not folder.exists())

    def drop_if_unused(self, journal: Journal) -> None:
        """Close the journal; a file made since, in which nothing was recorded but its own making, is removed.

        It goes while the journal still holds it, so that nobody else can have begun to use it.
        """
        if not self._files or journal.head.cmd > 1:
            journal.close()
            return
        with suppress(OSError):  # a system that keeps open files gives it up below
            self._unlink()
        journal.close()
        self._unlink()
        for folder in self._folders:
            with suppress(OSError):  # somebody else's file came into it
                folder.rmdir()

    def _unlink(self) -> None:
        for one in self._files:
            one.unlink(missing_ok=True)
