"""Who lifts next, planned: every rest kept, the hour, few plates moved. `problem.py` says what an evening is."""

from floor.core.planner.goals import GOALS, KINDS, goals_for
from floor.core.planner.plan import (
    FIRST,
    REFINED,
    Plan,
    by_rising,
    by_rotation,
    eyes_share,
    least_finish,
    plan,
)
from floor.core.planner.problem import Chain, Evening, Place, PlannedSet, wrong_with
from floor.core.planner.rigs import Handling, Rig, clashes, tables
from floor.core.planner.tables import Turn
from floor.core.planner.watching import at_once, watch, watched_share

__all__ = [
    "FIRST", "GOALS", "KINDS", "REFINED", "Chain", "Evening", "Handling", "Place", "Plan", "PlannedSet", "Rig", "Turn",
    "at_once", "by_rising", "by_rotation", "clashes", "eyes_share", "goals_for", "least_finish", "plan", "tables",
    "watch", "watched_share", "wrong_with",
]  # fmt: skip
