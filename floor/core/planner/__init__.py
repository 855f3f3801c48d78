"""Who lifts next, planned: every rest kept, the hour, few plates moved. `problem.py` says what an evening is."""

from floor.core.planner.plan import (
    FIRST,
    GOALS,
    REFINED,
    Plan,
    by_rising,
    by_rotation,
    eyes_share,
    least_finish,
    plan,
)
from floor.core.planner.problem import Chain, Evening, Place, PlannedSet, wrong_with
from floor.core.planner.rigs import Pace, Rig, tables
from floor.core.planner.tables import Turn

__all__ = [
    "FIRST", "GOALS", "REFINED", "Chain", "Evening", "Pace", "Place", "Plan", "PlannedSet", "Rig", "Turn",
    "by_rising", "by_rotation", "eyes_share", "least_finish", "plan", "tables", "wrong_with",
]  # fmt: skip
