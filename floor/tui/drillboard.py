"""The group drill's lines: the stage large, the reps, the fault keys, who was marked with what. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rich.cells import cell_len
from textual.content import Content

from floor.core.gym import Fault, Lift, Stage
from floor.core.state import Drill, State
from floor.core.units import show_with_unit
from floor.tui.dialogs.pick import KEYS
from floor.tui.draw.bigtext import Size, big, big_width, spelled
from floor.tui.draw.spans import cut, wrap

HIGH = 36
"""From this many rows on the sentence is large as well."""

COLUMN = 26
"""Columns for a fault or a lifter with its key."""

MARKS_LEFT = 3
"""Rows kept free for who was marked, whatever else is large."""


@dataclass(frozen=True, slots=True)
class Slot:
    """Someone who came tonight: the key that names them, and why they sit out ("" when they don't)."""

    key: str
    lifter: int
    out: str


def slots(state: State) -> list[Slot]:
    """Everyone here, in the order they came; a key stays with its lifter for the evening."""
    drill = state.evening.drill
    lift = state.gym.lifts.get(drill.lift) if drill else None
    found = []
    for at, present in enumerate(state.evening.here.values()):
        out = ""
        if state.lifters[present.lifter].held:
            out = "held"
        elif lift is not None and lift.id in present.stopped:
            out = f"{lift.name} over for today"
        if not present.gone:
            found.append(Slot(KEYS[at] if at < len(KEYS) else "", present.lifter, out))
    return found


def drilled(state: State) -> tuple[Drill, Lift, Stage] | None:
    """The drill that is on, with its lift and stage; None when none is on."""
    drill = state.evening.drill
    lift = state.gym.lifts.get(drill.lift) if drill else None
    if drill is None or lift is None:
        return None
    stage = next((s for s in lift.stages if s.no == drill.stage), None)
    return (drill, lift, stage) if stage else None


def board(state: State, names: Mapping[int, str], width: int, height: int, fault: Fault | None) -> list[Content]:
    """The whole board in `height` lines of `width` columns; `fault` is the one waiting for a name."""
    on = drilled(state)
    if on is None:
        return []
    drill, lift, stage = on
    lines = [
        Content.assemble(
            (" GROUP DRILL ", "bold reverse"), (f" {lift.name}", "bold"), f" · stage {stage.no} of {len(lift.stages)}"
        ),
    ]
    if state.evening.stopped:
        lines.append(Content.styled(" ALL STOPPED: bars down. ! goes on ", "bold reverse $error"))
    people = slots(state)
    below = [*_everyone(state, people, names, width), *_keys(lift, people, names, width, fault)]
    lines += _stage(stage, drill.reps, width, height - len(lines) - len(below) - MARKS_LEFT, height >= HIGH)
    lines += below
    if fault is None:
        lines += _marks(drill, lift, names, width, height - len(lines))
    return lines[:height]


def _stage(stage: Stage, reps: int, width: int, rows: int, high: bool) -> list[Content]:
    """Name and sentence, as large as the rows allow, with the reps at the right of the name."""
    size: Size = "tall" if high else "small"
    count = big(str(reps), width, size)
    side = max(cell_len(count[0]), 4)
    name = _large(stage.name, width - side - 4, size, 2)
    label = "rep" if reps == 1 else "reps"
    right = [*count, label.rjust(side)]
    lines: list[Content] = []
    for y in range(max(len(name), len(right))):
        left = name[y] if y < len(name) else ""
        gap = " " * (width - side - 2 - cell_len(left))
        lines.append(Content.assemble((f" {left}", "bold"), gap, (right[y] if y < len(right) else "", "bold $accent")))
    sentence = _large(stage.drill, width - 2, "small", 6) if high and spelled(stage.drill) else []
    if not sentence or len(lines) + 1 + len(sentence) > rows:
        sentence = wrap(stage.drill, width - 2, max(1, min(4, rows - len(lines))))
    if len(lines) + 1 + len(sentence) <= rows:
        lines.append(Content(""))
    return [*lines, *(Content.styled(f" {line}", "bold") for line in sentence)]


def _large(text: str, width: int, size: Size, most: int) -> list[str]:
    """The text in large letters over up to `most` lines; in plain capitals when it does not go."""
    broken: list[str] = []
    for word in text.split():
        longer = f"{broken[-1]} {word}" if broken else word
        if broken and big_width(longer, size) <= width:
            broken[-1] = longer
        else:
            broken.append(word)
    whole = spelled(text, size) and all(big_width(line, size) <= width for line in broken)
    if not whole or len(broken) > most:
        return _large(text, width, "small", most) if size == "tall" else [cut(text.upper(), width)]
    rows: list[str] = []
    for line in broken:
        rows += [*([""] if rows and size == "tall" else []), *big(line, width, size)]
    return rows


def _everyone(state: State, people: Sequence[Slot], names: Mapping[int, str], width: int) -> list[Content]:
    """What everyone holds, and who sits out and why."""
    masses = sorted({state.gym.bar(now.bar).mass for now in state.evening.stations.values()})
    bars = " or ".join(show_with_unit(mass, state.gym.unit) for mass in masses)
    all_do = (" Everyone: an empty bar at most", "bold")
    lines = [Content.assemble(all_do, f" ({bars}) · together, on the coach's word")]
    out = [f"{names.get(slot.lifter, slot.lifter)} ({slot.out})" for slot in people if slot.out]
    if out:
        words = wrap(f"Sits out: {' · '.join(out)}", width - 2, 2)
        lines += [Content.styled(f" {line}", "bold $warning") for line in words]
    return lines


def _keys(
    lift: Lift, people: Sequence[Slot], names: Mapping[int, str], width: int, fault: Fault | None
) -> list[Content]:
    """The fault letters; or, once a fault is chosen, the keys of those it can be said of."""
    if fault is None:
        items = [(f.letter, f.name) for f in lift.faults]
        return [Content.styled(" SEEN?  the fault's letter, then whom", "bold"), *_columns(items, width)]
    items = [(slot.key, str(names.get(slot.lifter, slot.lifter))) for slot in people if not slot.out and slot.key]
    head = Content.assemble((f" {fault.name.upper()}: who?", "bold reverse"), "  Esc nobody")
    return [head, *_columns(items, width), Content.assemble(" cue  ", (fault.cue, "bold"))]


def _columns(items: Sequence[tuple[str, str]], width: int) -> list[Content]:
    across = max(1, (width - 1) // COLUMN)
    rows = -(-len(items) // across)
    return [
        Content.assemble(
            *(part for key, words in items[y::rows] for part in ((f" {key} ", "bold reverse"), _filled(f" {words}")))
        )
        for y in range(rows)
    ]


def _filled(words: str) -> tuple[str, str]:
    short = cut(words, COLUMN - 4)
    return short + " " * (COLUMN - 3 - cell_len(short)), ""


def _marks(drill: Drill, lift: Lift, names: Mapping[int, str], width: int, rows: int) -> list[Content]:
    """Who was marked with what on which reps, the latest first; what has no room is counted."""
    seen: dict[tuple[int, str], list[int]] = {}
    for rep, lifter, fault_id in drill.faults:
        reps = seen.pop((lifter, fault_id), [])
        seen[lifter, fault_id] = [*reps, rep]
    if rows < 2:
        return []
    if not seen:
        return [Content.assemble((" MARKED  ", "bold"), "nobody yet")]
    lines = [Content.styled(" MARKED  the latest first", "bold")]
    listed = list(reversed(seen.items()))
    room = rows - 1 if len(listed) <= rows - 1 else rows - 2
    for (lifter, fault_id), reps in listed[:room]:
        fault = lift.fault(fault_id)
        said = f"{'reps' if len(reps) > 1 else 'rep'} {', '.join(str(rep) for rep in reps)}"
        line = f" {names.get(lifter, lifter)}: {fault.name if fault else fault_id} · {said}"
        lines.append(Content(cut(line, width)))
    if len(listed) > room:
        lines.append(Content(f" and {len(listed) - room} more"))
    return lines
