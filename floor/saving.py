"""Saving a kept answer as a file: what kind by its ending, never over another file."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from itertools import count
from pathlib import Path

from floor.background import Question, Saved, Stopped
from floor.core.words import many
from floor.ownfile import OWN

KINDS: dict[str, str] = {".csv": "csv", ".parquet": "parquet", ".arrow": "arrow", ".json": "json"}
"""The endings a file can have, and what is written."""


@dataclass(frozen=True, slots=True)
class Tried:
    """What came of it as a sentence: `done` when the whole answer is in the file."""

    words: str
    done: bool = False


def kind_of(path: Path) -> str:
    """What is written to a file of that name. ValueError with a sentence for another ending."""
    kind = KINDS.get(path.suffix.lower())
    if kind is None:
        raise ValueError(f"{path.name!r} needs an ending: {', '.join(KINDS)}.")
    return kind


def free_name(name: str) -> str:
    """The file name, or with the first number behind it that no file in this folder has: "answer-2.csv"."""
    path = Path(name)
    numbered = (f"{path.stem}-{n}{path.suffix}" for n in count(2))
    return name if not path.exists() else next(n for n in numbered if not Path(n).exists())


def save_to(question: Question, typed: str, sort: int | None = None, descending: bool = False) -> Tried:
    """Write the whole answer to a new file: all of it or none. It waits: call it in a thread."""
    try:
        path = Path(typed).expanduser()
    except RuntimeError:
        return Tried(f"{typed} begins with nobody's home folder: write out which folder.")
    try:
        kind = kind_of(path)
        file = path.open("xb")
    except FileExistsError:
        return Tried(f"{path} is there already: give another name.")
    except FileNotFoundError:
        return Tried(f"There is no folder {path.parent}: {path.name} can't be written there.")
    except ValueError as error:
        return Tried(str(error))
    except OSError as error:
        return Tried(_unwritten(path, error))
    saved: Saved | str = ""
    try:
        path.chmod(OWN)
        with file:
            saved = send(question, kind, file.write, sort, descending)
    except OSError as error:
        saved = _unwritten(path, error)
    finally:
        if not isinstance(saved, Saved):
            with suppress(OSError):
                path.unlink()
    if isinstance(saved, Saved):
        told = f". {saved.told}" if saved.told else ""
        return Tried(f"{many(saved.rows, 'row')} saved in {path.resolve()}{told}", done=True)
    return Tried(saved)


def _unwritten(path: Path, error: OSError) -> str:
    return f"{path} can't be written: {error.strerror or error}."


def send(
    question: Question, kind: str, write: Callable[[bytes], object], sort: int | None = None, descending: bool = False
) -> Saved | str:
    """Give the whole answer to `write`; a sentence where that failed. What `write` raises is raised."""
    answer = question.save(kind, write, sort, descending)
    if isinstance(answer, Saved):
        return answer
    return "That was stopped." if isinstance(answer, Stopped) else getattr(answer, "sentence", "That can't be saved.")
