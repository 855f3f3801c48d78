"""What a station's card says, as ready words: no facts are worked out below this line.

The screen makes one `CardView` a station from the state; the card only draws it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from floor.core.gym import Plate


class Status(StrEnum):
    """What is going on at a station; the value is the word on screen."""

    LIFTING = "lifting"
    UP = "up"
    RESTING = "resting"
    FREE = "free"
    HELD = "held"
    STOPPED = "STOP"


@dataclass(frozen=True, slots=True)
class RepMark:
    """One rep of the running set: made, missed, or (None) still to come; `letters` are its faults' keys."""

    made: bool | None = None
    letters: str = ""


@dataclass(frozen=True, slots=True)
class CardView:
    """The words and the stack of one station. Empty words leave their line blank; lines never move.

    `title` is the station's number and name, `stands` what stands there,
    `stands_short` the same where that would be left out (for what must be seen).
    `role_line` is lift and set, most important first ("squat · set 2 of 3 ·
    work"), `role_short` the same with the lift's id. `load_text` is the figures
    alone ("62.5"), `reps_text` with its sign ("× 5"). `rest_text` is the time left ("1:20"), empty when nobody rests.
    `next_name`, `next_set` ("55 kg × 5") and `next_wait` ("in 1:20") say who follows.
    `plates` are on one sleeve, innermost first; `on` the places in it (0
    innermost) that come on in the change; `sleeve_mm` the loadable length.
    `side_words` is what one sleeve carries, on which bar, with which collars.
    `change_short` stands in for `change_words` where those would be cut, `change_least` for both.
    """

    title: str
    stands: str = ""
    stands_short: str = ""
    in_hand: bool = False
    name: str = ""
    role_line: str = ""
    role_short: str = ""
    load_text: str = ""
    unit: str = "kg"
    reps_text: str = ""
    rest_text: str = ""
    status: Status = Status.FREE
    marks: tuple[RepMark, ...] = ()
    plates: tuple[Plate, ...] = ()
    on: frozenset[int] = frozenset()
    sleeve_mm: int = 415
    collar: bool = True
    side_words: str = ""
    change_words: str = ""
    change_short: str = ""
    change_least: str = ""
    floor_words: str = ""
    next_name: str = ""
    next_set: str = ""
    next_wait: str = ""
    setup_line: str = ""
    caution: str = ""


EMPTY_CARD = CardView(title="")
"""The card before anything is known."""
