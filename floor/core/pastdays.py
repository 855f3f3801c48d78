"""Days long gone as they were kept elsewhere: what a history brought in is made of."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from floor.core.gym import Grade


@dataclass(frozen=True, slots=True)
class PastSet:
    """One set of a day long gone; `set_no` counts within that day of the lifter, `load` is in hundredths."""

    lifter: int
    lift: str
    set_no: int
    load: int
    made: int
    missed: int = 0
    grade: Grade = Grade.UNSEEN


@dataclass(frozen=True, slots=True)
class PastDay:
    """One day brought in: noon of it (UTC), and its sets in order.

    `session` is the number an earlier import gave the day, with `came` who had
    sets then; None makes a new session.
    """

    noon: datetime
    sets: tuple[PastSet, ...]
    session: int | None = None
    came: tuple[int, ...] = ()
