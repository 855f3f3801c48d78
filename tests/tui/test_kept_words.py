"""The word for a load that is not added to: kept, the same again under the plan, or down."""

from __future__ import annotations

from floor.core.commands import RampDone
from floor.core.state import Proposal
from floor.tui.present_proposal import proposal_words
from tests.core.scenes import a_set, kg
from tests.core.test_on_the_way_up import cleaner, proposal, walked


def test_a_load_under_the_plan_is_never_called_kept() -> None:
    held = walked(cleaner())
    assert proposal_words(held.state, proposal(held)).strip() == "AGAIN 20 kg (30 kg was planned)"
    plain = cleaner().given(RampDone(1), a_set(made=3, faults="a"))
    assert proposal_words(plain.state, proposal(plain)).strip().startswith("KEEP 43.5 kg")


def test_a_load_under_the_set_just_done_is_said_to_go_down() -> None:
    scene = cleaner().given(RampDone(1), a_set(made=3))
    down = Proposal(1, "clean", "keep", kg(30), kg(43.5), "unseen-keeps", 4, 3)
    assert proposal_words(scene.state, down).strip() == "DOWN TO 30 kg (43.5 kg was planned)"
