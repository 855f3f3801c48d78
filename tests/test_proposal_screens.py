"""Every proposal says its reason and what it rests on, on the smallest screen and uncut."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from floor.core.nexttime import next_reason
from floor.core.proposals import BY_ID, reason
from tests.proposal_screens import MOMENTS, Moment, screen_of

SAID: dict[str, tuple[str, ...]] = {
    "youth-rough": ("5 of 5 made, rough", "heels lifting (fix) reps 4, 5", "LIGHTER 36 kg (40 kg was planned)"),
    "all-made": ("top 60 kg × 5 · sharp 3", "50 kg 2×5 (light day: 80 % of 62.5 kg, was 60)"),
    "stage-shown": ("stage 9: 9 clean reps in a row over 3 sets", "STAGE UP? 30 kg, stage 10"),
    "rest-first": ("4 of 5 made", "rested 1:14 of 3:00"),
    "lighten-fault": ("sound", "knees caving in (lighten) rep 3"),
    "three-repeats-ease": (
        "2 reps not made", "68 kg 2×5 (light day: 80 % of 85.5 kg, was 95)", "(the load repeated 3 evenings running)"
    ),
    "note-twice": ("looking around (note) rep 2", "set before too: rep 1"),
    "dangerous-fault": ("STOP this lift for today", "folding under the bar (end) rep 4"),
    "unseen-stays": ("unseen 3", "next: 54 kg 2×5 (light day: 80 % of 67.5 kg)"),
    "build-adds": ("3 of 3 made, sharp", "from 40 kg, step 2.5 kg, a tenth at most"),
    "fix-first": ("sound", "chest dropping (fix) rep 5"),
    "pain-eases": (
        "held until", "pain reported after the squat at 82.5 kg",
        "59 kg 2×5 (light day: 80 % of 74 kg, was 82.5)"
    ),
    "twice-step-down": (
        "arms bent early (fix) reps 1, 3", "set before too: rep 2", "most 20 kg",
        "STAGE DOWN 20 kg, stage 9 to 6"
    ),
    "two-reps-short": ("3 of 5 made", "LIGHTER 76.5 kg (85 kg was planned)"),
    "fell-keeps": ("earlier at 70 kg: broken, back rounding (lighten) rep 4",),
    "miss-repeats": ("1 rep not made", "next: 58 kg 2×5 (light day: 80 % of 72.5 kg)"),
    "form-limit": ("form limit 42.2 kg", "watched reps", "a step is 2.5 kg"),
    "unseen-keeps": ("5 of 5 made, unseen",),
    "lowered-repeats": ("top 70 kg", "by hand 80 to 70 kg", "next: 64 kg 2×5 (light day: 80 % of 80 kg)"),
    "twice-lighten": ("not deep enough (fix) reps 3, 4", "set before too: rep 5"),
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
    if not moment.closing:
        assert "+ = -" in words or "+ heavier  = same  - lighter" in words, "how to overrule it"
