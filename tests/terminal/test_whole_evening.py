"""A whole demo evening by keys in a real terminal: fourteen lifters and a walk-in, until nobody has a set left."""

from __future__ import annotations

from pathlib import Path

import pytest

from floor.core.summary import lines, summarise
from tests.terminal.evening_coach import PEOPLE, Evening, Todo
from tests.terminal.evening_keys import open_gym
from tests.terminal.terminal import Terminal, python_floor

EVENTS: Todo = {
    6: (("recorded", ("f2", "enter")), ("recorded", ("f2", "enter")), ("recorded", ("f2", "enter"))),
    12: (("checked in", ("f8", "a", "1", "1")),),
    15: (("put right", ("f3", "-", "enter")),),
    18: (("health questions", ("f8", "w", *"Quill", "enter")),),
    22: (("held", ("f9", "1", "enter")),),
    26: ((" left", ("f8", "l", "2")),),
    30: (("swapped", ("f6", "1")),),
    34: (("Undone", ("backspace", "backspace", "backspace")),),
    38: (("passed the turn", ("f5",)),),
    42: (("by hand", ("f7", *"-5", "enter")),),
    50: (("everything stopped", ("!",)), ("everything goes on", ("!",))),
}
"""What comes between two sets, by how many have been lifted, with a word it is acknowledged by: three late sets in a
row, somebody late arrives, a set put right, a walk-in, pain, somebody leaves, a swap, undo, a turn passed, a load by
hand, everything stopped and gone on."""


@pytest.mark.long
@pytest.mark.parametrize(("cols", "rows"), [(80, 24), (140, 45)])
def test_a_whole_evening_of_fourteen_lifters(demo: Path, cols: int, rows: int) -> None:
    with Terminal(python_floor("--gym", demo), cols, rows) as term:
        evening = Evening(term, EVENTS)
        evening.check_in()
        evening.lift()
        assert evening.sets > 40 and not evening.todo, (evening.sets, evening.todo)
        told = evening.close()
        term.press("ctrl+q")
        assert term.ended() == 0
        assert b"Traceback" not in term.raw
    print(f"{cols}x{rows}: {evening.keys} keys, {evening.sets} sets seen")
    session = open_gym(demo)
    try:
        came = summarise(session.state, session.tonight)
        wanted = lines(came, session.state.gym, session.names, min(cols - 2, 120))
        assert not session.state.open
        assert len(came.came) == PEOPLE + 1
        for lifter in came.came:
            name = session.names[lifter.lifter]
            assert any(line.strip().startswith(name) for line in told), name
            left = session.state.evening.here[lifter.lifter].pending()
            assert lifter.gone or lifter.held or left is None, f"{name} was left with sets"
        assert [line.strip() for line in told if line.strip()] == [line.strip() for line in wanted if line.strip()]
        assert "Quill" in session.names.values()
    finally:
        session.journal.close()
