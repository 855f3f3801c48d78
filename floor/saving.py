"""Saving a kept answer as a file: what kind by its ending, never over another file."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from itertools import count
from pathlib import Path

from floor.background import Question, Saved, Stopped

KINDS: dict[str, str] = {".csv": "csv", ".parquet": "parquet", ".arrow": "arrow", ".json": "json"}
"""The endings a file can have, and what is written."""


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


def save_to(question: Question, typed: str, sort: int | None = None, descending: bool = False) -> str:
    """Write the whole answer to a new file; what came of it, as a sentence. It waits: call it in a thread."""
    path = Path(typed).expanduser()
    try:
        kind = kind_of(path)
        with path.open("xb") as file:
            saved = send(question, kind, file.write, sort, descending)
    except FileExistsError:
        return f"{path} is there already: give another name."
    except ValueError as error:
        return str(error)
    except OSError as error:
        return f"{path} can't be written: {error.strerror or error}."
    if isinstance(saved, int):
        return f"{saved:,} rows saved in {path.resolve()}"
    with suppress(FileNotFoundError):
        path.unlink()
    return saved


def send(
    question: Question, kind: str, write: Callable[[bytes], object], sort: int | None = None, descending: bool = False
) -> int | str:
    """Give the whole answer to `write`; how many rows, or a sentence. What `write` raises is raised."""
    answer = question.save(kind, write, sort, descending)
    if isinstance(answer, Saved):
        return answer.rows
    return "That was stopped." if isinstance(answer, Stopped) else getattr(answer, "sentence", "That can't be saved.")
