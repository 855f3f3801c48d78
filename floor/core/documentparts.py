"""What the readers of a gym's documents share: how long words may be, one unit, and names that come once."""

from __future__ import annotations

from floor.core.toml_reader import Reader
from floor.core.units import UNITS

STANDS = ("floor", "rack", "bench")
"""What a station can be for and a lift can need."""

NAME, CUE, STAGE_NAME, LINE, SENTENCE = 22, 40, 28, 76, 200
"""The most characters of a fault's or other name, a cue, a stage's name, a caution, a drill."""


class Once:
    """Remembers what has been used, and reports at a reader what comes again."""

    def __init__(self, what: str) -> None:
        self.what = what
        self.seen: dict[object, str] = {}

    def check(self, reader: Reader, value: object, by: str = "") -> None:
        """Report `value` if it was used before; an empty value was reported already."""
        if value in ("", 0):
            return
        if value in self.seen:
            both = f" ({self.seen[value]}, {by})" if by else ""
            reader.wrong(f"two {self.what} {value}{both}. Change one of them.")
        self.seen.setdefault(value, by)


def same_unit(reader: Reader, unit: str) -> None:
    """Report a document written in the other unit: its numbers would all be wrong."""
    written = reader.one_of("unit", UNITS)
    if written and written != unit:
        reader.wrong(f"this is written in {written} and the gym's unit is {unit}. Write its loads in {unit}.")
