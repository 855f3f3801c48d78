"""Questions kept under a name, as text: a document that stands beside those a gym is made of.

The text is TOML, one `[[question]]` with `name` and `sql` each, and `week = true`
where its answer stands on the week screen (absent in older documents: it does
not). Ready questions are shipped in the same form.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

DOCUMENT = "questions"
"""The id of the document in the gym file."""

NAME = 40
"""The most letters of a question's name."""


ON_WEEK = 3
"""The most questions whose answers stand on the week screen."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A question and the name it is kept under."""

    name: str
    sql: str
    week: bool = False
    """Whether its answer stands on the week screen."""


def parse_questions(text: str) -> tuple[Kept, ...]:
    """The questions in a document. ValueError with a sentence when it is not such a document."""
    try:
        found = tomllib.loads(text).get("question", [])
    except tomllib.TOMLDecodeError as error:
        raise ValueError(f"The questions can't be read: {error}.") from error
    if not isinstance(found, list):
        raise ValueError("A question needs a name and its SQL.")
    kept = []
    for entry in found:
        if not (isinstance(entry, dict) and all(isinstance(entry.get(key), str) for key in ("name", "sql"))):
            raise ValueError("A question needs a name and its SQL.")
        kept.append(Kept(entry["name"], entry["sql"].strip("\n"), entry.get("week") is True))
    return tuple(kept)


def write_questions(kept: Iterable[Kept]) -> str:
    """The document that holds these questions; `parse_questions` reads the same back."""
    return "\n".join(
        f"[[question]]\nname = {_quoted(q.name)}\nsql = {_quoted(q.sql)}\n{'week = true' if q.week else ''}\n"
        for q in kept
    )


def with_kept(kept: Sequence[Kept], new: Kept) -> tuple[Kept, ...]:
    """The questions with one more, in place of one of the same name and on the week if that was; in order of name."""
    old = any(q.week for q in kept if q.name.casefold() == new.name.casefold())
    new = replace(new, week=new.week or old)
    others = [q for q in kept if q.name.casefold() != new.name.casefold()]
    return tuple(sorted((*others, new), key=lambda q: q.name.casefold()))


def with_week(kept: Sequence[Kept], question: Kept, on: bool) -> tuple[Kept, ...]:
    """The questions, that one kept with them and its answer on the week screen or not. ValueError past ON_WEEK."""
    others = without(kept, question.name)
    if on and sum(q.week for q in others) >= ON_WEEK:
        raise ValueError(f"{ON_WEEK} questions stand on the week screen already: take one off first.")
    return tuple(sorted((*others, replace(question, week=on)), key=lambda q: q.name.casefold()))


def without(kept: Iterable[Kept], name: str) -> tuple[Kept, ...]:
    """The questions without the one of that name."""
    return tuple(q for q in kept if q.name.casefold() != name.casefold())


def named(questions: Iterable[Kept], name: str) -> Kept | None:
    """The first question of that name, small letters or large and blanks at its ends aside; None without one."""
    wanted = name.strip().casefold()
    return next((q for q in questions if q.name.casefold() == wanted), None)


def wrong_name(name: str) -> str:
    """What is wrong with a name, as a sentence; "" when nothing is."""
    if not name.strip() or not name.isprintable():
        return "A question is kept under a name: letters, figures, blanks."
    return f"A name has at most {NAME} letters." if len(name) > NAME else ""


def _quoted(text: str) -> str:
    """A TOML basic string: JSON's escapes are TOML's, less the character DEL and halves of pairs."""
    return json.dumps(text.encode(errors="replace").decode(), ensure_ascii=False).replace("\x7f", "\\u007f")
