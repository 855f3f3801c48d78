"""The suggested grade stands on the panel only once the set can be graded without leaving reps out."""

from __future__ import annotations

import pytest

from floor.core.commands import AllMade, CountRep, SeeFault, StartSet
from floor.tui.panel import in_hand
from tests.core.scenes import RACK, Scene, evening, ready

MADE, MISSED = CountRep(RACK, True), CountRep(RACK, False)


def running() -> Scene:
    return evening(ready(squat=60)).given(StartSet(RACK))


def head(scene: Scene, width: int = 80) -> str:
    return in_hand(scene.state, RACK, {1: "Ada"}, width, scene.now)[0].plain


def test_a_set_that_still_goes_on_is_given_no_grade() -> None:
    scene = running()
    for rep in range(1, 5):
        scene = scene.given(MADE, SeeFault(RACK, "d"))
        assert head(scene).endswith(f"rep {rep} of 5")


def test_with_its_last_rep_counted_it_is() -> None:
    assert head(running().given(MADE, SeeFault(RACK, "d"), AllMade(RACK))).endswith("rep 5 of 5 · 3 rough? (Enter)")
    assert head(running().given(*[MADE] * 6)).startswith("▶ Rack · Ada squat 60 kg × 5 · rep 6 of 5: one more")
    assert "1 sharp?" in head(running().given(*[MADE] * 6))


@pytest.mark.parametrize(
    ("ends", "grade"), [((MADE, MISSED), "3 rough? (3)"), ((MADE, SeeFault(RACK, "x")), "4 broken? (Enter)")]
)
def test_a_miss_or_a_dangerous_fault_may_end_it_early(ends: tuple[CountRep | SeeFault, ...], grade: str) -> None:
    assert head(running().given(*ends)).endswith(grade)
