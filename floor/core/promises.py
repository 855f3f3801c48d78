"""Why who was told next is told so no longer: found in the events of the command that changed it, kept with them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from floor.core.events import Event

_THEIRS: dict[str, tuple[str, str]] = {
    "lifter_left": ("left", "{lifter} left"),
    "pain_reported": ("pain", "{lifter} is held for pain"),
    "lifter_moved": ("moved", "{lifter} goes to another station"),
    "set_recorded": ("recorded", "{lifter}'s set is recorded"),
    "lifts_swapped": ("lifts", "{lifter} does another lift first"),
    "set_dropped": ("trim", "{lifter}'s set is left out"),
    "set_proposed": ("done", "{lifter} is done"),
    "proposal_overruled": ("done", "{lifter} is done"),
    "ramp_done": ("done", "{lifter} is done"),
}
"""Events about the lifter who was told: the reason's id and its words."""

_HERE: dict[str, tuple[str, str]] = {
    "turn_passed": ("passed", "the turn was passed"),
    "lifters_swapped": ("swapped", "the coach swapped them"),
    "offer_taken": ("offer", "the coach took the plan's order"),
    "bar_followed": ("bar", "back to the rising bar"),
}
"""Events about the station."""

_OTHERWISE = ("order", "the order changed")
REASONS: dict[str, str] = dict([*_THEIRS.values(), *_HERE.values(), _OTHERWISE])
"""The words of every reason; `{lifter}` is whoever was told before."""


def broken_by(events: Sequence[Event], station: int, lifter: int) -> str:
    """The id of the reason why the lifter is told next at the station no longer."""
    about: tuple[tuple[dict[str, tuple[str, str]], Callable[[Event], bool]], ...] = (
        (_HERE, lambda event: event.station == station),
        (_THEIRS, lambda event: event.lifter == lifter),
    )
    for reasons, concerns in about:
        for event in events:
            if event.kind in reasons and concerns(event):
                return reasons[event.kind][0]
    return _OTHERWISE[0]


def told_words(events: Sequence[Event], names: Mapping[int, str]) -> list[str]:
    """Every promise these events changed, in words: "Mara next instead of Jon: Jon left"."""
    words = []
    for event in events:
        if event.kind == "told_next" and event.other is not None:
            now, was = (names.get(x or 0, f"lifter {x}") for x in (event.lifter, event.other))
            why = REASONS.get(event.rule or "", REASONS[_OTHERWISE[0]]).replace("{lifter}", was)
            words.append(f"{now} next instead of {was}: {why}")
    return words
