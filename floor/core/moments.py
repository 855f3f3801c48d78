"""A moment of tonight as a coach types it: a time of day, or so many minutes from now."""

from __future__ import annotations

import re
from datetime import datetime, timedelta, tzinfo

ASKED = "Type minutes like 30, or a time like 18:40."
BACK = timedelta(hours=12)
"""A time of day that was so long ago or less has passed; one before that is tomorrow's."""

_MINUTES = re.compile(r"(?:in\s+)?(\d{1,3})\s*(?:min)?", re.IGNORECASE)
_TIME = re.compile(r"(?:at\s+)?(\d{1,2})[:.](\d{2})", re.IGNORECASE)


def read_moment(typed: str, now: datetime, zone: tzinfo) -> datetime | str:
    """The moment after `now` that was typed (aware, UTC), or a sentence saying what is wrong with it."""
    text = typed.strip()
    if minutes := _MINUTES.fullmatch(text):
        count = int(minutes[1])
        return now + timedelta(minutes=count) if count else "Not now: in 1 minute or more."
    time = _TIME.fullmatch(text)
    if time is None or int(time[1]) > 23 or int(time[2]) > 59:
        return ASKED
    here = now.astimezone(zone)
    at = here.replace(hour=int(time[1]), minute=int(time[2]), second=0, microsecond=0)
    if at <= here and here - at > BACK:
        at += timedelta(days=1)
    if at <= here:
        return f"{at:%H:%M} has passed: it is {here:%H:%M} now."
    return at.astimezone(now.tzinfo)


def seconds_to(at: datetime, now: datetime) -> int:
    """Whole seconds from now until then, rounded to the nearest."""
    return round((at - now).total_seconds())


def clock_words(at: datetime, zone: tzinfo) -> str:
    """A moment as the clock on the wall shows it: "18:40"."""
    return f"{at.astimezone(zone):%H:%M}"
