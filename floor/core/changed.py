"""What an evening changed on one lift, in ready sentences: what stands at its end, not what was taken back. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from floor.core.events import Event
from floor.core.gym import Gym
from floor.core.nexttime import next_reason
from floor.core.proposals import KEEP, REST, STEP_DOWN, STOP, reason
from floor.core.teaching import SIGNED
from floor.core.units import show_load, show_with_unit

ACTIONS: dict[str, str] = {
    "add": "add", "keep": "keep", "lighten": "lighten", "step_down": "a stage down", "step_up": "a stage up",
    "stop": "stop", "rest": "more rest",
}
"""The words for what a proposal does."""
STAGE_LIMIT, CLEARED_EASES = "stage-limit", "cleared-eases"
"""The rules that bring what is left tonight down: to the most of a stage just signed, and after a clearance."""
WHY_CHANGED: dict[str, str] = {
    CLEARED_EASES: "lighter after the clearance",
    STAGE_LIMIT: "the most of the stage",
}
"""Why a rule changed a load that no proposal speaks of; any other change was made by hand."""
_RIGHT = ("set_put_right", "fault_withdrawn")
_PROPOSED = ("set_proposed", "proposal_overruled")
_CHANGES = (*_PROPOSED, "load_changed", "step_set", "stage_set")


def changes(events: Iterable[Event], gym: Gym) -> tuple[str, ...]:
    """What was proposed, overruled or changed by hand on one lift, where it changed something, oldest first.

    `events` are one lifter's on that lift. Of two proposals for the same set, made anew
    when a set before it was put right, the later stands. Sets put right are counted at the end.
    """
    told = list(events)
    runs: list[list[Event]] = []
    for at, event in enumerate(told):
        if event.kind not in _CHANGES or not _changed(event) or _taken_back(event, told[at + 1 :]):
            continue
        if runs and _goes_on(runs[-1][-1], event):
            runs[-1].append(event)
        else:
            runs.append([event])
    right = len({event.set_no for event in told if event.kind in _RIGHT})
    sets = [f"{right} sets put right afterwards" if right > 1 else "a set put right afterwards"] if right else []
    return (*(_words(run, gym) for run in runs), *sets)


def _taken_back(event: Event, later: Sequence[Event]) -> bool:
    """Whether a proposal, or what overruled it, has made way for another for the same set."""
    if event.kind not in _PROPOSED:
        return False
    return any(e.kind == "set_proposed" and e.set_no == event.set_no for e in later)


def _changed(event: Event) -> bool:
    """A proposal that leaves the load, the stage and the lift as they were changes nothing.

    Nor does one of a stage up: signing it off does.
    """
    if event.kind == "stage_set":
        return event.rule == SIGNED
    return event.kind != "set_proposed" or event.load != event.was or event.action in (STOP, STEP_DOWN, REST)


def _goes_on(before: Event, event: Event) -> bool:
    """The same rule moves the load again, from where it stood, or all sets down to one load: said in one go."""
    if event.kind == "load_changed" and event.rule == before.rule == STAGE_LIMIT:
        return before.kind == event.kind
    same = (before.kind, before.action, before.rule) == (event.kind, event.action, event.rule)
    return event.kind == "set_proposed" and same and before.load == event.was and event.load != event.was


def _words(run: Sequence[Event], gym: Gym) -> str:
    first, last = run[0], run[-1]
    load = show_with_unit(last.load or 0, gym.unit)
    path = " to ".join([show_load(first.was or 0), *(show_load(e.load or 0) for e in run[:-1]), load])
    action = ACTIONS.get(first.action or "", first.action or "")
    if first.kind == "set_proposed":
        action = "down" if first.action == KEEP and (last.load or 0) < (first.was or 0) else action
        moved = "" if first.action == STOP or last.load == first.was else f" {path}"
        return f"{action}{moved}: {reason(first.rule or '')}"
    if first.kind == "proposal_overruled":
        return f"overruled by the coach: {'the same' if first.action == KEEP else action}, {load}"
    if first.kind == "stage_set":
        return f"stage {first.stage} signed by the coach"
    if first.kind == "step_set":
        return f"step {show_load(first.was or 0)} to {load}: {next_reason(first.rule or '')}"
    if (said := WHY_CHANGED.get(first.rule or "")) is not None:
        return f"{f'down to {load}' if first.rule == STAGE_LIMIT else path}: {said}"
    return f"by hand {path}"
