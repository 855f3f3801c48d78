"""The keys that overrule a proposal stand with it, each with the load it gives: at 80 columns as at 140."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from floor.core import commands as c
from floor.core.commands import Arrive, DrillFault, DrillRep, EndDrill, Overrule, StartDrill
from floor.core.gym import Grade
from floor.core.proposals import TONIGHT
from floor.core.units import show_load
from floor.tui.app import FloorApp
from floor.tui.panel import in_hand
from tests.core.scenes import RACK, Scene, a_set, belongs, evening, ready
from tests.tui.house import check_in, done, open_session, read

NARROW_ROWS = 4
"""Rows of the panel at 80 columns, with the line below it."""
OFFERED = re.compile(r"([-+=]) ([\d.]+)( kg)?(\?)?")


def panel(scene: Scene, width: int = 80, name: str = "Ada") -> list[str]:
    return [line.plain for line in in_hand(scene.state, RACK, {1: name}, width, scene.now)]


def short() -> Scene:
    return evening(ready(squat=60)).given(a_set(made=3, missed=2))


@pytest.mark.parametrize("width", [80, 140])
def test_each_key_has_its_kilos_beside_it(width: int) -> None:
    lowered = evening(ready(squat=60)).given(a_set(grade=Grade.SHARP), Overrule(1, "squat", "lighten"))
    offered = ("+ 62.5 kg  = 60 kg  - 54 kg", "+ 62.5  = 60  - 54 kg")
    assert any(line.endswith(offered) for line in panel(lowered, width))


def test_a_key_that_would_be_refused_is_not_shown_and_one_that_asks_has_a_question_mark() -> None:
    sharp, rough = (evening(ready(squat=60)).given(a_set(grade=g)) for g in (Grade.SHARP, Grade.ROUGH))
    assert "+ 62.5 kg  - 54 kg" in panel(sharp)[2], "the same load is what is proposed already"
    assert "+ 62.5 kg?  - 54 kg" in panel(rough)[2]
    jump = panel(evening(ready(squat=24)).given(a_set(made=3, missed=2)))[2]
    assert "+ 26.5 kg?" in jump and jump.endswith("- 21 kg"), "the load proposed is free"


def test_after_a_stop_no_heavier_load_stands_there_and_the_others_ask() -> None:
    stopped = panel(evening(ready(squat=60)).given(a_set(faults="x", grade=Grade.BROKEN)))
    assert "= 60 kg?  - 54 kg?" in stopped[2] and "+" not in stopped[2]
    drilled = evening(belongs(1, squat=60), Arrive(1, RACK), StartDrill("squat", 4), DrillRep(), DrillFault(1, "x"))
    lines = panel(drilled.given(EndDrill()))
    assert "STOP" in lines[1] and "= 20 kg?" in lines[1] and lines[2].startswith("why ")


@pytest.mark.parametrize("rule", TONIGHT, ids=lambda rule: rule.id)
@pytest.mark.parametrize("name", ["Ada", "Konstantin"])
def test_whatever_the_reason_the_loads_stand_in_the_narrow_panel(rule: object, name: str) -> None:
    scene = short()
    (key, proposal), = scene.state.evening.proposals.items()
    other = replace(proposal, rule=rule.id, action=rule.action)
    state = replace(scene.state, evening=replace(scene.state.evening, proposals={key: other}))
    lines = panel(replace(scene, state=state), name=name)[:NARROW_ROWS]
    assert all(len(line) <= 78 for line in lines), "nothing of it is cut"
    assert any(line.startswith(f"why  {rule.sentence}") for line in lines)
    found = [mark for line in lines[1:] for mark in OFFERED.findall(line) if mark[0] in "+-"]
    assert {mark[1] for mark in found} >= {"54"}


@pytest.mark.parametrize("key", ["plus", "equals_sign", "minus"])
async def test_the_load_beside_the_key_is_what_the_key_gives(tmp_path: Path, key: str) -> None:
    session = open_session(tmp_path)
    check_in(session, 2)
    done(session, c.RampDone(2))
    for command in (c.StartSet(1), c.AllMade(1), c.EndSet(1, Grade.SHARP)):
        done(session, command)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        said = {sign: load for sign, load, *_ in OFFERED.findall(read(app.screen, "#panel"))}
        await pilot.press(key)
        await pilot.pause()
    coming = session.state.evening.here[2].pending()
    sign = {"plus": "+", "equals_sign": "=", "minus": "-"}[key]
    assert coming is not None and said[sign] == show_load(coming.load), "and none of the three asked first"
