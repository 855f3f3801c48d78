"""Every proposal says its reason and what it rests on, on the smallest screen and uncut."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from floor.core.nexttime import next_reason
from floor.core.proposals import BY_ID, reason
from tests.proposal_screens import MOMENTS, Moment, screen_of

SAID: dict[str, tuple[str, ...]] = {
    "youth-rough": (
        "squat 40 kg: 5 of 5 made, rough", "heels lifting on reps 4, 5 (fix: before more load)",
        "LIGHTER 36 kg (40 kg was planned)",
    ),
    "all-made": (
        "15 of 15 reps · top 60 kg × 5 · sharp 3",
        "next: 50 kg 2×5 (light day: 80 % of the full 62.5 kg, up from 60) why: all reps",
    ),
    "stage-shown": ("stage 9: 9 reps in a row, 3 sets, free of its own faults", "STAGE UP? 30 kg, stage 10"),
    "rest-first": ("squat 90 kg: 4 of 5 made", "rested 1:14 of the 3:00 owed", "MORE REST 4:30, then 90 kg"),
    "lighten-fault": ("sound", "knees caving in on rep 3 (lighten: less load now)"),
    "three-repeats-ease": (
        "13 of 15 reps · top 95 kg × 5", "68 kg 2×5 (light day: 80 % of the full 85.5 kg, down from 95)",
        "(3 evenings at 95 kg: 13 of 15, 14 of 15, 13 of 15 reps)",
    ),
    "note-twice": ("looking around on rep 2 (note: small)", "set before: rep 1"),
    "dangerous-fault": (
        "squat 80 kg: 4 of 5 made, broken", "STOP the squat for today",
        "folding under the bar on rep 4 (end: no more of it today)",
    ),
    "deadlift-slows": (
        "programme Clean in midweek, the power clean first and light", "2 repeats running, now 90 kg, squat goes on",
        "front rack and flat back signed off (stage 11)", "P at check-in gives it",
    ),
    "build-adds": ("power clean 40 kg: 3 of 3 made, sharp", "a step is 2.5 kg, no more than a tenth of 40 kg"),
    "fix-first": ("sound", "chest dropping on rep 5 (fix: before more load)"),
    "pain-eases": (
        "held until", "pain reported after the squat at 82.5 kg",
        "59 kg 2×5 (light day: 80 % of the full 74 kg, down from 82.5)"
    ),
    "twice-step-down": (
        "power clean 30 kg: 3 of 3, rough", "arms bent early reps 1, 3 (fix)", "set before: rep 2",
        "stage 6: most 20 kg", "STAGE DOWN 20 kg, stage 9 to 6"
    ),
    "two-reps-short": ("squat 85 kg: 3 of 5 made", "of the 3:00 owed", "LIGHTER 76.5 kg (85 kg was planned)"),
    "asked-keeps": ("earlier at 70 kg: broken, back rounding on rep 4 (lighten: less load now)",),
    "miss-repeats": (
        "14 of 15 reps · top 72.5 kg × 5", "next: 58 kg 2×5 (light day: 80 % of the full 72.5 kg, as before)",
    ),
    "form-limit": ("form holds to about 42.2 kg (132 watched reps)", "a step is 2.5 kg"),
    "unseen-keeps": ("squat 75 kg: 5 of 5 made, unseen",),
    "lowered-repeats": (
        "top 70 kg", "by hand 80 to 70 kg", "next: 64 kg 2×5 (light day: 80 % of the full 80 kg, as before)",
    ),
    "rough-repeats": (
        "55 × 5", "3/15", "next: 44 kg 2×5 (light day: 80 % of the full 55 kg, as before): one thing",
        "same load (not deep enough)",
    ),
}
"""What the screen must say of the evidence, by rule."""


def flat(words: str) -> str:
    """The screen's words on one line, without the breaks of a wrapped sentence."""
    return re.sub(r"\s+", " ", words)


def test_twenty_moments_are_twenty_rules() -> None:
    assert len(MOMENTS) == 20 == len({moment.rule for moment in MOMENTS}) == len(SAID)


@pytest.mark.parametrize("moment", MOMENTS, ids=lambda moment: moment.rule)
async def test_the_reason_and_the_evidence_stand_on_the_screen(moment: Moment, tmp_path: Path) -> None:
    words, rule = await screen_of(moment, tmp_path)
    assert rule == moment.rule and rule not in words, "the rule is told in words, not by its id"
    assert (reason(rule) if rule in BY_ID else next_reason(rule)) in flat(words)
    assert [said for said in SAID[rule] if said not in flat(words)] == []
    if moment.where == "floor":
        assert "why  " in words, "the reason is marked"
        assert re.search(r"- [\d.]+( kg)?\??", words), "how to overrule it, and to what load"
