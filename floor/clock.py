"""The only place that reads the time."""

from __future__ import annotations

import os
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Protocol
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError


class Clock(Protocol):
    """What time it is, as an aware UTC datetime."""

    def now(self) -> datetime:
        """Now, in UTC."""
        ...


class WallClock:
    """The computer's own clock."""

    def now(self) -> datetime:
        """Now, in UTC."""
        return datetime.now(UTC)


class SetClock:
    """A clock that stands until it is moved: for tests, screenshots and trials."""

    def __init__(self, at: datetime) -> None:
        """Start at an aware datetime."""
        self._at = at.astimezone(UTC)

    def now(self) -> datetime:
        """The time it was set to."""
        return self._at

    def on(self, seconds: float) -> datetime:
        """Move on by so many seconds and say the new time."""
        self._at += timedelta(seconds=seconds)
        return self._at


def stopwatch() -> float:
    """Seconds on a clock that never goes back; only differences mean anything."""
    return time.perf_counter()


def local_zone() -> str:
    """The computer's time zone by name ("Europe/Lisbon"); "UTC" when it can't be told."""
    named = os.environ.get("TZ", "").lstrip(":")
    for name in (named, _linked_zone()):
        if name and _known(name):
            return name
    return "UTC"


def _linked_zone() -> str:
    parts = Path("/etc/localtime").resolve().parts
    if "zoneinfo" not in parts:
        return ""
    return "/".join(parts[parts.index("zoneinfo") + 1 :])


def _known(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, IsADirectoryError):
        return False
    return True
