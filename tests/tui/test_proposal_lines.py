"""The line of a proposal: which lift at which load, what is asked, as full as the panel is wide."""

from __future__ import annotations

from dataclasses import replace

import pytest
from rich.cells import cell_len

from floor.core.commands import Arrive, RampDone, SetStage
from floor.core.evidence.formlimit import Cell
from floor.core.gym import Grade
from floor.core.state import Proposal, TheSet
from floor.tui.panel import in_hand
from floor.tui.present_proposal import ARROW, asked_after
from tests.core.scenes import RACK, Scene, a_set, belongs, evening, kg, ready

NAMES = {1: "Ada"}


def after(scene: Scene, width: int) -> str:
    """The proposal's line after the last set, in a panel of that width."""
    ((_, lift), proposal), *_ = scene.state.evening.proposals.items()
    done = max((s for s in scene.of(1).of_lift(lift) if s.down), key=lambda s: (s.down, s.no))
    return line(scene, proposal, done, width)


def line(scene: Scene, proposal: Proposal, done: TheSet, width: int) -> str:
    did, asked = asked_after(scene.state, proposal, done, "Ada", width)
    return did + ARROW + asked.rstrip()


def rough() -> Scene:
    return evening(ready(squat=60)).given(a_set(made=3, missed=2, grade=Grade.SOUND))


def test_the_lift_and_the_load_that_was_lifted_stand_before_what_is_asked() -> None:
    assert after(rough(), 78) == "Ada squat 60 kg: 3 of 5 made, sound →  LIGHTER 54 kg (60 kg was planned)"


@pytest.mark.parametrize(
    ("width", "said"),
    [
        (66, "Ada squat 60 kg: 3 of 5, sound →  LIGHTER 54 kg (was 60 kg)"),
        (58, "Ada squat 60 kg: 3 of 5, sound →  LIGHTER 54 kg"),
    ],
)
def test_where_there_is_less_room_less_is_said_but_never_the_load(width: int, said: str) -> None:
    assert after(rough(), width) == said


def test_a_planned_load_that_the_set_did_not_have_is_kept_in_the_shortest_line() -> None:
    scene = rough()
    (proposal,) = scene.state.evening.proposals.values()
    done = next(s for s in scene.of(1).sets if s.grade is Grade.SOUND)
    lighter = replace(done, load=kg(57.5))
    assert line(scene, proposal, lighter, 58) == "Ada squat: 3 of 5, sound →  LIGHTER 54 kg (was 60 kg)"


def test_no_line_is_wider_than_its_panel_as_long_as_the_shortest_fits() -> None:
    assert [width for width in range(50, 120) if cell_len(after(rough(), width)) > width] == []


def test_a_stop_names_the_lift_that_ends_though_another_is_up_already() -> None:
    scene = evening(belongs(1, "squat-press", squat=80, press=30), Arrive(1, RACK), RampDone(1))
    scene = scene.given(a_set(made=4, faults="x", grade=Grade.BROKEN))
    head, did, why, rests_on, *_ = (one.plain for one in in_hand(scene.state, RACK, NAMES, 80, scene.now))
    assert "press" in head
    assert did == "Ada squat 80 kg: 4 of 5 made, broken →  STOP the squat for today "
    assert why.startswith("why  a dangerous fault") and rests_on.startswith("  └─ folding under the bar")


def test_how_far_form_holds_is_said_once() -> None:
    seen = tuple(Cell(kg(load), days, 12, bad) for load, bad in ((35, 0), (40, 2), (45, 6)) for days in (2, 5, 9))
    scene = evening(belongs(1, "clean", clean=40), SetStage(1, "clean", 11), Arrive(1, RACK, seen=(("clean", seen),)))

    def said(scene: Scene) -> list[str]:
        lines = [one.plain for one in in_hand(scene.state, RACK, NAMES, 80, scene.now)]
        return [one for one in lines if "form holds to about 42.2 kg (132 watched reps)" in one]

    assert [one[:5] for one in said(scene)] == ["form "], "before the first set on a line of its own"
    while scene.coming(1).role == "ramp":
        scene = scene.given(a_set(made=scene.coming(1).reps))
    capped = scene.given(a_set(made=3))
    assert [p.rule for p in capped.state.evening.proposals.values()] == ["form-limit"]
    assert [one[:5] for one in said(capped)] == ["  └─ "], "and then as what the proposal rests on"
