"""The list of tables a question can use, as lines: what a row is, then each column with its unit. Pure."""

from __future__ import annotations

from textual.content import Content

from floor.tables import KG_OR_LB, VIEWS
from floor.tui.draw.spans import cut, wrap

_NAME = 11
_UNIT = 9


def tables_lines(unit: str, width: int) -> list[Content]:
    """One line a column: its name, its unit, one sentence; a line more where the sentence is longer."""
    lines: list[Content] = []
    for view in VIEWS:
        if lines:
            lines.append(Content(""))
        head, *more = wrap(f"{view.name}  {view.row}", width, 2)
        lines.append(Content.assemble((view.name, "bold $accent"), head[len(view.name) :]))
        lines += [Content(line) for line in more]
        for meaning in view.meanings:
            what = unit if meaning.unit == KG_OR_LB else meaning.unit
            start = f" {meaning.name:<{_NAME}} {what:<{_UNIT}}"
            first, *rest = wrap(meaning.words, max(8, width - len(start)), 3) or [""]
            lines.append(Content.assemble(f" {meaning.name:<{_NAME}} ", (f"{what:<{_UNIT}}", "dim"), cut(first, width)))
            lines += [Content(" " * len(start) + line) for line in rest]
    return lines
