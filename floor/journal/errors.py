"""What can go wrong with a gym file, each in one plain sentence for the screen."""

from __future__ import annotations

from pathlib import Path


class JournalError(Exception):
    """Something is wrong with the gym file; `str()` is a sentence a coach can read."""


class GymBusy(JournalError):
    """Another process has the gym file open; `pid` is its number, None when not known."""

    def __init__(self, path: Path, pid: int | None) -> None:
        self.pid = pid
        who = f"process {pid}" if pid is not None else "another process"
        super().__init__(f"{path.name} is already open in {who}; close that one first.")


class GymDamaged(JournalError):
    """The file can't be read, or what is in it is not what was written."""

    def __init__(self, path: Path, what: str, kept: Path | None = None) -> None:
        self.kept = kept
        copy = f" A copy from before opening is kept as {kept.name}." if kept is not None else ""
        super().__init__(f"{path.name} is damaged: {what}.{copy}")


class NotAGym(JournalError):
    """The file is something else."""

    def __init__(self, path: Path, why: str = "it is not a gym file") -> None:
        super().__init__(f"{path.name} can't be opened: {why}.")


class GymGone(JournalError):
    """The file was deleted, moved or replaced while it was open."""

    def __init__(self, path: Path) -> None:
        super().__init__(f"{path} was deleted, moved or replaced while it was open; nothing more is recorded.")


class ErasureUnfinished(JournalError):
    """A name was taken out of sight, but a copy of the file that still holds it could not be replaced."""

    def __init__(self, lifter: int, why: str) -> None:
        super().__init__(
            f"The name is out of sight but not yet out of the file ({why}): `floor forget {lifter}` tries again."
        )


class CommitFailed(JournalError):
    """The command was not recorded and changed nothing; the next one may work."""

    def __init__(self, why: str) -> None:
        super().__init__(f"Nothing was recorded: {why}.")
