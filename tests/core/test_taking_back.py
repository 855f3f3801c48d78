"""Undo is one key, pressed fast: what would be missed is asked about first, and the question says what goes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.commands import (
    BringRoster,
    CloseSession,
    Command,
    JoinLifter,
    OpenSession,
    PlanNext,
    ReportPain,
    RosterRow,
)  # fmt: skip
from floor.core.events import Event
from floor.core.takingback import FEW, asked_before
from tests.core.scenes import Scene, a_set, evening, kg, ready

NAMES = {1: "Oda", 2: "Pim", 3: "Quin", 4: "Rolf", 5: "Suri"}


def asked(scene: Scene, command: Command) -> str:
    """What is asked before that command, done now, is taken back."""
    done = scene.when(command)
    assert done.refusal is None, done.refusal
    return asked_before(done.events, done.state.gym, NAMES)


def test_a_hold_for_pain_is_asked_about() -> None:
    assert "Oda is held for pain." in asked(evening(ready(squat=60)), ReportPain(1))


def test_pain_is_asked_about_before_anything_else_of_the_same_command() -> None:
    running = evening(ready(squat=60)).given(a_set()[0])
    assert "Free Oda?" in asked(running, ReportPain(1))


def test_whoever_would_go_from_the_gym_is_named() -> None:
    assert asked(Scene(), JoinLifter(2, False)) == "Pim goes from the gym with it. Take it back?"


def test_a_roster_says_how_much_of_it_goes_and_who() -> None:
    two = BringRoster((RosterRow(1, "squat", 3, 5, kg(60)), RosterRow(2, "bench", 3, 5, kg(40))), (1, 2))
    assert asked(Scene(), two) == (
        "Undo takes the roster, 2 lifts of 2 lifters, out of the record. Oda and Pim go from the gym with it."
        " Take it back?"
    )
    known = Scene().given(JoinLifter(1, False)).when(BringRoster((RosterRow(1, "squat", 3, 5, kg(60)),), ()))
    assert "Everybody stays in the gym." in asked_before(known.events, known.state.gym, NAMES)


def test_a_closed_session_is_not_opened_again_by_one_key() -> None:
    assert asked(evening(ready(squat=60)).given(a_set()), CloseSession()).startswith("Session 1 is closed.")


@pytest.mark.parametrize("command", [PlanNext(1, "squat", 3, 5, kg(62.5)), a_set()[0]])
def test_the_evenings_own_keys_are_taken_back_at_once(command: Command) -> None:
    assert asked(evening(ready(squat=60)), command) == ""
    assert asked(Scene(), OpenSession()) == ""


@given(st.integers(1, 40))
def test_of_many_who_go_a_few_are_named_and_all_are_counted(count: int) -> None:
    events = tuple(Event(kind="lifter_joined", happened=Scene().now, lifter=n) for n in range(1, count + 1))
    names = {n: f"L{n}" for n in range(1, count + 1)}
    words = asked_before(events, Scene().state.gym, names)
    named = sum(f"L{n}" in words.replace(",", "").split() for n in names)
    more = int(words.split(" more")[0].split()[-1]) if " more" in words else 0
    assert named + more == count and named <= FEW + 1
