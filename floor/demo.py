"""Makes the demo gym: invented people, a simulated history, written through the real journal."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

from floor.core.definitions import Problems, parse_gym
from floor.core.gym import Gym
from floor.journal.log import Journal
from floor.session import BadDefinitions
from floor.sim.demo import history, people_changes
from floor.templates import templates


def one_set_at_a_time(gym: Gym) -> Gym:
    """The gym as its past was simulated: stacks chosen for each set alone, which is several times quicker."""
    return replace(gym, settings=replace(gym.settings, look_ahead=1))


def make_demo(path: Path, now: datetime, zone: str) -> None:
    """Write the demo gym to a new file, its last evening a few days before `now` (aware UTC).

    Raises the journal's errors, and BadDefinitions if a shipped template is broken.
    """
    texts = templates(demo=True)
    gym = parse_gym(texts, dict.fromkeys(texts, 1), "kg")
    if isinstance(gym, Problems):
        raise BadDefinitions(gym.sentences())
    journal = Journal.open(path, now=now, zone=zone, unit="kg", templates=texts)
    try:
        journal.bulk(history(one_set_at_a_time(gym), now), people_changes())
    finally:
        journal.close()
