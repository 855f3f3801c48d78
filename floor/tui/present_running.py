"""The panel's lines while a set runs: the rep, the suggested grade, the faults by letter, the cue. Pure."""

from __future__ import annotations

from collections.abc import Mapping

from textual.content import Content

from floor.core.askfirst import uncounted
from floor.core.cues import cue
from floor.core.gym import Fault, Grade
from floor.core.proposals import suggest_grade
from floor.core.reps import over_words
from floor.core.state import Present, State, TheSet
from floor.core.tonight import ends_here
from floor.tui.present import load_words

FAULT_WIDTH = 26
SEVERITY_SIGN = {"note": " ", "fix": "·", "lighten": "▾", "end": "■"}


def running_lines(
    state: State, present: Present, running: TheSet, station: str, names: Mapping[int, str], width: int
) -> list[Content]:
    """Which rep of what, the grade suggested once the set can be graded, the faults with their letters, the cue."""
    gym = state.gym
    name = names.get(present.lifter, str(present.lifter))
    counted = len(running.marks)
    head: list[str | tuple[str, str]] = [
        (f"▶ {station} · {name} ", "bold $accent"),
        f"{gym.lifts[running.lift].name} {load_words(gym, running)} · rep {counted} of {running.reps}",
    ]
    youth = state.lifters[present.lifter].youth
    grade, over, ends = "", over_words(running.reps, counted), ends_here(gym, running, youth)
    if counted and not uncounted(gym, running, youth):
        suggested = suggest_grade(gym, running)
        number = list(Grade).index(suggested) + 1
        grade = f" · {number} {suggested}?"
        way = f" ({'Enter' if running.full or ends else number})"
        fits = Content.assemble(*head, f": {over}", grade, way).cell_length <= width
        grade += way if fits or not over else ""
        head.append((f": {over if fits else over.removesuffix(' than planned')}" if over else "", "bold $warning"))
    lines = [Content.assemble(*head, (grade, "bold"))]
    if ends:
        lines.append(Content.assemble((f" {ends}: the set ends here. Enter ends it ", "bold reverse $error")))
    fault = cue(state, present.lifter, running.lift)
    lines += fault_lines(gym.lifts[running.lift].faults, running, width)
    if fault is not None:
        lines.append(Content.assemble(("cue  ", "bold"), fault.cue))
    return lines


def fault_lines(faults: tuple[Fault, ...], running: TheSet, width: int) -> list[Content]:
    """The lift's faults with their letters, in columns; what is marked already is counted."""
    columns = max(1, width // FAULT_WIDTH)
    rows = -(-len(faults) // columns)
    seen = [fault_id for _, fault_id in running.faults]
    lines = []
    for row in range(rows):
        parts: list[str | tuple[str, str]] = []
        for fault in faults[row::rows]:
            times = seen.count(fault.id)
            label = f"{fault.name}{SEVERITY_SIGN[fault.severity]}" + (f"×{times}" if times else "")
            parts.append((f" {fault.letter} ", "bold reverse"))
            parts.append((f" {label}".ljust(FAULT_WIDTH - 3), "bold $warning" if times else ""))
        lines.append(Content.assemble(*parts))
    return lines
