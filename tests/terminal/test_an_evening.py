"""A short evening in a real terminal: keys in, words out, the plug pulled, the same words again."""

from __future__ import annotations

import re
import time
from pathlib import Path

from tests.terminal.evening_keys import card, cleaners, hand_line, open_gym, rests, run_floor
from tests.terminal.terminal import Terminal, python_floor

QUESTION = "SELECT lifter, lift, fault, rep FROM faults WHERE session = (SELECT max(session) FROM sets)"
STATIONS = ("Platform 1", "Platform 2", "Platform 3")


def check_in(term: Terminal, row: int, station: str, cursor: int) -> int:
    """Move to a row of the list and check in at a station by its digit; the row the cursor is on then."""
    term.press(*["down" if row > cursor else "up"] * abs(row - cursor), station)
    return row


def load_in(line: str) -> float:
    """The load a line names, in kg."""
    found = re.search(r"([\d.]+) kg", line)
    assert found, line
    return float(found[1])


def to_work_sets(term: Terminal) -> None:
    """F4 for everyone at the station in hand who still has a ramp to do: one after the other is up."""
    while " walk " in (line := hand_line(term)) or " ramp " in line:
        term.press("f4")
        term.wait_until(lambda was=line: hand_line(term) != was, 5, "the next one up, or the work set")


def a_set(term: Terminal, name: str, fault: str = "") -> tuple[float, str]:
    """One power-clean set by keys: a rep and its fault, the rest made, the grade offered.

    Returns the load that was on the bar, in kg, and the sentence with the proposal.
    """
    line = hand_line(term)
    assert name in line and "power clean set 1/" in line, term.text()
    load = load_in(line)
    term.press("enter")
    term.wait_for(f"{name}: power clean {load:g} kg started")
    if fault:
        term.wait_for(" a  arms bent early")
        term.press("space", fault)
        term.wait_for("arms bent early·×1")
    running = re.search(r"rep \d+ of (\d+)", hand_line(term))
    assert running, term.text()
    reps = running[1]
    term.press("enter")
    term.wait_for("(Enter)")
    term.press("enter")
    ended = f"{name} power clean {load:g} kg: {reps} of {reps} made"
    term.wait_for(ended)
    return load, term.line_with(ended)


def ask(term: Terminal, question: str) -> None:
    """Open the SQL pane, put a question in place of the one that stands there, run it."""
    term.press("f12")
    term.wait_for("SELECT lift")
    term.press("f4")
    term.wait_gone("ORDER BY")
    term.type(question)
    term.wait_for(question[:20])
    term.press("f5")


def test_three_lifters_a_fault_a_pulled_plug_and_the_same_evening_again(tmp_path: Path) -> None:
    gym = tmp_path / "kept.duckdb"
    assert run_floor("demo", "--keep", gym, "--make-only").returncode == 0
    session = open_gym(gym)
    people = cleaners(session)
    session.journal.close()
    rising = sorted((p for p in people if p.work_sets >= 2), key=lambda p: p.load)
    pair, third = (rising[0], rising[3]), rising[4]

    with Terminal(python_floor("demo", "--keep", gym), 120, 40) as term:
        term.wait_for("no session is open")
        at = 0
        for person in pair:
            at = check_in(term, person.row, "1", at)
        check_in(term, third.row, "2", at)
        term.wait_for("3 here")
        for person in (*pair, third):
            term.wait_for(person.name)
        term.press("f")
        term.wait_for("Enter start")
        term.wait_until(lambda: hand_line(term).startswith("▶ Platform 1"), 5, "the first station in hand")

        # The bar rises: of two whose ramps are ticked off the lighter one is up.
        to_work_sets(term)
        first, second = pair
        assert first.name in hand_line(term)

        # The tagged set keeps the load, the clean one goes up; both are said with a reason as they are made.
        load, changed = a_set(term, first.name, fault="a")
        assert load <= first.load / 100, "no more than planned; less where form caps it"
        assert "rough" in changed and f"KEEP {load:g} kg" in changed
        reason = term.lines()[term.lines().index(changed) + 1]
        assert len(reason.split()) > 3, reason
        clean, added = a_set(term, second.name)
        assert "sharp" in added
        assert load_in(added.partition("→")[2]) >= clean
        term.wait_until(lambda: first.name in hand_line(term), 5, "the first lifter's next turn")
        assert f"set 2/{first.work_sets}" in hand_line(term)
        assert load_in(hand_line(term)) == load
        assert term.line_with("Long arms until you have jumped."), "the cue comes back before the next set"
        term.press("tab")
        term.wait_until(lambda: hand_line(term).startswith("▶ Platform 2"), 5, "the second station in hand")
        to_work_sets(term)
        a_set(term, third.name)
        term.press("left")
        term.wait_until(lambda: hand_line(term).startswith("▶ Platform 1"), 5, "the first station again")

        cards, hand = [card(term, station) for station in STATIONS], re.sub(r"\d:\d\d", "", hand_line(term))
        resting, seen_at = rests(term), time.monotonic()
        assert set(resting) == {first.name, second.name, third.name}
        term.kill()

    with Terminal(python_floor("--gym", gym), 120, 40) as again:
        again.wait_for("Enter start")
        again.wait_for("RESTING")
        after, later = rests(again), time.monotonic() - seen_at
        assert not again.line_with("missing"), again.text()
        assert [card(again, station) for station in STATIONS] == cards
        assert re.sub(r"\d:\d\d", "", hand_line(again)) == hand
        assert set(after) == set(resting)
        for name, left in resting.items():
            assert abs((left - after[name]) - later) <= 2, (name, left, after[name], later)

        ask(again, QUESTION)
        again.wait_for("1 row", 30)
        answer = again.line_with(first.name)
        assert first.name in answer and "arms-bent-early" in answer and "clean" in answer, again.text()
        again.press("escape")
        again.wait_for("Enter start")
        again.press("ctrl+q")
        assert again.ended() == 0


def test_undo_in_a_terminal_takes_back_the_latest_key_and_names_it(demo: Path) -> None:
    with Terminal(python_floor("--gym", demo), 80, 24) as term:
        term.wait_for("no session is open")
        term.press("enter")
        term.wait_for("1 here")
        term.press("backspace")
        term.wait_for("Undone: ")
        term.wait_gone("1 here")
