"""`floor import history` in a terminal: what it will be read as, a question, and nothing without a yes."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.terminal.evening_keys import open_gym
from tests.terminal.terminal import Terminal, python_floor

LOG = "When;Who;Exercise;Work\n4.3.2024;Oda Invented;squat;3x5 62,5\n6.3.2024;Oda Invented;squat;bar x5, 65x5,5,4\n"


@pytest.mark.parametrize(("answer", "sets"), [("no", 0), ("yes", 7)])
def test_the_coach_is_shown_how_it_is_read_and_asked(tmp_path: Path, answer: str, sets: int) -> None:
    gym, log = tmp_path / "gym.duckdb", tmp_path / "log.csv"
    log.write_text(LOG, encoding="utf-8")
    with Terminal(python_floor("import", "history", log, "--gym", gym), 120, 40) as term:
        term.wait_for("Type yes:")
        assert "sets in shorthand" in term.line_with('"Work"')
        assert "62.5 kg x5,5,5" in term.line_with("2024-03-04")
        term.type(answer)
        term.press("enter")
        term.wait_for("7 sets on 2 days brought in" if sets else "Nothing was taken.")
        assert term.ended() == (0 if sets else 1)
    assert gym.exists() == bool(sets)
    if not sets:
        return
    session = open_gym(gym)
    try:
        rows = session.journal.cursor().execute("SELECT count(*) FROM sets").fetchall()
        assert rows == [(sets,)] and len(session.people) == 1
    finally:
        session.journal.close()
