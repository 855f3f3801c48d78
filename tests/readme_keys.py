"""Writes the key table into README.md from the one table of keys: `python -m tests.readme_keys`."""

from __future__ import annotations

from pathlib import Path

from floor.tui.keys import KEYS, MORE

README = Path(__file__).parent.parent / "README.md"
BEGIN = "<!-- keys: made from floor/tui/keys.py by `python -m tests.readme_keys`; a test compares them -->"
END = "<!-- /keys -->"
TITLES = {
    "floor": "On the floor",
    "all": "On every screen",
    "checkin": "Check-in",
    "close": "Close",
    "questions": "Questions",
    "drill": "Group drill",
    "plates": "Plates, bars and stations",
    "week": "The week",
    "lifter": "One lifter",
    "sheetentry": "Entry from the paper sheet",
}


def table() -> str:
    """The key table as Markdown, one section a screen."""
    lines: list[str] = []
    places = list(dict.fromkeys(key.where for key in KEYS))
    for where in places:
        lines += ["", f"**{TITLES.get(where, where)}**", "", "| key | what it does |", "| --- | --- |"]
        lines += [f"| `{k.shown}` | {k.words} |" for k in KEYS if k.where == where]
        if where == "floor":
            lines.append("| `a` to `z` | a fault on the rep just counted, from the lift's list on screen |")
            lines += [f"| `/` `{more.letter}` | {more.words} |" for more in MORE]
    return "\n".join(lines) + "\n"


def in_readme() -> str:
    """The table that stands in the README now."""
    text = README.read_text(encoding="utf-8")
    return text.split(BEGIN)[1].split(END)[0].lstrip("\n")


def write() -> None:
    """Put the table into the README."""
    text = README.read_text(encoding="utf-8")
    before, after = text.split(BEGIN)[0], text.split(END)[1]
    README.write_text(f"{before}{BEGIN}\n{table()}\n{END}{after}", encoding="utf-8")


if __name__ == "__main__":
    write()
