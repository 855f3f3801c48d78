"""A planner's child whose plans are empty and whose ways are chosen by the request's pace: for tests of the pipes.

Run by `python -m tests.stand_in_planner`; the protocol is the real one, only the planning is not.
"""

from __future__ import annotations

import os
from datetime import datetime

from floor.core.outlook import Outlook
from floor.core.pace import Pace
from floor.core.state import State
from floor.planning_child import main

ENDLESS, DIES, FAILS, MISTAKEN = Pace(walk=1001), Pace(walk=1002), Pace(walk=1003), Pace(walk=1004)
"""Refining never ends; the process ends at once; planning raises; the first plan is for the state before."""


def look(state: State, cmd: int, now: datetime, pace: Pace, refined: bool) -> Outlook:
    """An empty plan, or what the pace asks for."""
    if pace == DIES:
        os._exit(3)
    if pace == FAILS:
        raise KeyError("a name nobody may read")
    while pace == ENDLESS and refined:
        pass
    return Outlook(cmd - (pace == MISTAKEN and not refined), now, refined)


if __name__ == "__main__":
    main(look)
