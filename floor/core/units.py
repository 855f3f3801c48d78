"""Loads as text and in the other unit, without a float in sight.

A load is a whole number of hundredths of a unit (62.5 kg is 6250). Conversion
goes through the exact definition of the international pound, 1 lb =
0.45359237 kg (the agreement of 1959), as a ratio of whole numbers.
"""

from __future__ import annotations

import re

UNITS = ("kg", "lb")
_POUND = (45_359_237, 100_000_000)
_MOST_KG = 100_000
_NUMBER = re.compile(r"([0-9]*)(?:[.,]([0-9]+))?")
_OTHER = {"kg": "lb", "lb": "kg"}


def convert(load: int, from_unit: str, to_unit: str) -> int:
    """`load` hundredths of `from_unit` as hundredths of `to_unit`, to the nearest, halves up.

    Raises ValueError for a unit that is neither "kg" nor "lb".
    """
    for unit in (from_unit, to_unit):
        if unit not in UNITS:
            raise ValueError(f"unknown unit: {unit!r}")
    if from_unit == to_unit:
        return load
    top, bottom = _POUND if from_unit == "lb" else _POUND[::-1]
    return (2 * load * top + bottom) // (2 * bottom)


def most(unit: str) -> int:
    """The heaviest load taken for real: 1000 kg, in hundredths of `unit`."""
    return convert(_MOST_KG, "kg", unit)


def show_load(load: int) -> str:
    """Hundredths as people write them, without trailing zeros: 6250 is "62.5", 6000 is "60"."""
    whole, part = divmod(abs(load), 100)
    sign = "-" if load < 0 else ""
    return f"{sign}{whole}.{part:02d}".rstrip("0").rstrip(".")


def show_with_unit(load: int, unit: str) -> str:
    """Hundredths with the unit: 6250 in kg is "62.5 kg"."""
    return f"{show_load(load)} {unit}"


def parse_load(text: str, unit: str = "kg") -> int | str:
    """What was typed as hundredths of `unit`, or a sentence saying what is wrong with it.

    A decimal point or comma and up to two decimals are taken, and the unit
    itself behind the number. A comma is always decimal: "1,000" is refused.
    """
    typed = text.strip()
    if not typed:
        return "No load was typed."
    lower = typed.lower()
    if lower.endswith(_OTHER[unit]):
        return f"Loads here are in {unit}, not {_OTHER[unit]}."
    number = lower.removesuffix(unit).rstrip()
    negative = number.startswith(("-", "\N{MINUS SIGN}"))
    match = _NUMBER.fullmatch(number[1:].lstrip() if negative else number)
    if match is None or match[0] == "":
        shown = typed if len(typed) <= 20 else typed[:19] + "…"
        return f'"{shown}" is not a number.'
    if negative:
        return "A load cannot be negative."
    whole, part = match[1].lstrip("0"), match[2] or ""
    if len(part) > 2:
        return "A load has at most two decimals."
    too_heavy = f"More than {show_with_unit(most(unit), unit)} is not a load for a bar."
    if len(whole) > 6:
        return too_heavy
    load = int(whole or "0") * 100 + int(part.ljust(2, "0"))
    if load > most(unit):
        return too_heavy
    return load if load > 0 else "A load must be more than zero."
