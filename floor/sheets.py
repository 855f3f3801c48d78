"""Writes the evening sheet beside the gym file, as text and as a page to print."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from zoneinfo import ZoneInfo

from floor.core.sheet import make_sheet, page, text
from floor.ownfile import write_own
from floor.session import Failed, Session


@dataclass(frozen=True, slots=True)
class Written:
    """Where the sheet lies: the plain text and the page."""

    text: Path
    page: Path

    @property
    def words(self) -> str:
        """What was done, for the message line."""
        return f"Written beside the gym file: {self.text.name} and {self.page.suffix}"


def write_sheets(session: Session) -> Written | Failed:
    """Write tonight's sheet beside the gym file; an older one of the same day is replaced.

    The names are the gym file's with "-sheet-" and the gym's own date. Failed
    says where it could not be written and why.
    """
    now = session.clock.now()
    local = now.astimezone(ZoneInfo(session.zone))
    gym_file = session.journal.path
    name = f"{gym_file.stem}-sheet-{local:%Y-%m-%d}"
    written = Written(gym_file.with_name(name + ".txt"), gym_file.with_name(name + ".html"))
    when = f"{local:%a} {local.day} {local:%b %Y %H:%M}"
    sheet = make_sheet(session.state, session.names, now, when)
    try:
        write_own(written.text, text(sheet, session.state.gym))
        write_own(written.page, page(sheet, session.state.gym))
    except OSError as error:
        return Failed(f"The sheet could not be written to {gym_file.parent}: {error.strerror}.")
    return written
