"""Writes cards and the evening's summary beside the gym file: as text, as Markdown and as a page to print."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from floor.core.card import cues, evening_page, make_card
from floor.core.commands import Refusal
from floor.core.pages import Page, as_html, as_markdown, as_text
from floor.core.past import LifterPast
from floor.journal.past import read_lifter
from floor.ownfile import write_own
from floor.session import Failed, Refused, Session

FORMS: Mapping[str, tuple[str, Callable[[Page], str]]] = {
    "text": (".txt", as_text), "markdown": (".md", as_markdown), "html": (".html", as_html),
}  # fmt: skip
"""What a page can be written as: the file's ending, and how."""


@dataclass(frozen=True, slots=True)
class Written:
    """Where the page lies, one file a form."""

    files: tuple[Path, ...]

    @property
    def words(self) -> str:
        """What was done, for the message line."""
        return f"Written beside the gym file: {self.files[0].name}" + "".join(f", {f.suffix}" for f in self.files[1:])


def past_of(session: Session, lifter: int) -> LifterPast:
    """One lifter's record, read now. Raises JournalError."""
    cursor = session.journal.cursor()
    try:
        return read_lifter(cursor, lifter)
    finally:
        cursor.close()


def card(session: Session, lifter: int, past: LifterPast) -> Page | Refused:
    """A lifter's card for next session."""
    gym, now = session.state.gym, session.clock.now()
    page = make_card(session.state, lifter, session.names, now, _day(session, now), cues(past, gym))
    return _named(session, page)


def evening(session: Session) -> Page | Refused:
    """The latest evening's summary, for the coach."""
    opened = session.state.evening.opened if session.state.evening.session else session.clock.now()
    day, now = _day(session, opened), session.clock.now()
    return _named(session, evening_page(session.state, session.tonight, session.names, day, now))


def write_card(session: Session, lifter: int, past: LifterPast) -> Written | Refused | Failed:
    """Write a lifter's card beside the gym file; an older one of the same day is replaced."""
    board = "".join(c for c in session.names.get(lifter, "") if c.isalnum())
    return _write(session, card(session, lifter, past), f"card-{lifter}-{board}" if board else f"card-{lifter}")


def write_evening(session: Session) -> Written | Refused | Failed:
    """Write the latest evening's summary beside the gym file."""
    return _write(session, evening(session), f"evening-{session.state.evening.session}")


def _write(session: Session, page: Page | Refused, name: str) -> Written | Refused | Failed:
    if isinstance(page, Refused):
        return page
    gym_file = session.journal.path
    local = session.clock.now().astimezone(ZoneInfo(session.zone))
    files = []
    try:
        for ending, form in FORMS.values():
            files.append(gym_file.with_name(f"{gym_file.stem}-{name}-{local:%Y-%m-%d}{ending}"))
            write_own(files[-1], form(page))
    except OSError as error:
        return Failed(f"The page could not be written to {gym_file.parent}: {error.strerror}.")
    return Written(tuple(files))


def _named(session: Session, page: Page | Refusal) -> Page | Refused:
    if isinstance(page, Page):
        return page
    name = session.names.get(page.lifter or 0, "a lifter")
    return Refused(page.why.replace("{lifter}", name))


def _day(session: Session, moment: datetime) -> str:
    local = moment.astimezone(ZoneInfo(session.zone))
    return f"{local:%a} {local.day} {local:%b %Y}"
