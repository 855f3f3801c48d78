"""What the plan says of tonight: the coming sets by the clock, and what is worth a look or a choice.

An outlook belongs to the state it was made for and is thrown away when that is
gone. It is never part of the state; a choice the coach takes from it becomes an
event. Times are aware UTC datetimes, gains are seconds.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class ComingSet:
    """One set of the plan: who, where, what, from stepping on to stepping off.

    `rested` is when the least rest before it is over, None when there is none to
    wait for. A set that is on a bar now stands first, with its start in the past and
    the end it is expected to have. `eyes` is the rank of what makes it worth watching, 0 for nothing.
    `plates_from` is the station whose bar has the plates it waits for, `plates_wait` for how many seconds.
    """

    station: int
    lifter: int
    set_no: int
    lift: str
    load: int
    start: datetime
    end: datetime
    rested: datetime | None = None
    eyes: int = 0
    plates_from: int | None = None
    plates_wait: int = 0


@dataclass(frozen=True, slots=True)
class Offer:
    """Another order for one turn each at one station, first to lift first, and what it gains over the floor's own.

    Whoever has stepped up and whoever was told next stand first in it, as they do
    anyway; who is lifting now has no part in it. A number below zero costs.
    `lifter` comes sooner than `other`, whose turn it would have been.

    `why` is one sentence for the screen; `{lifter}` and `{other}` in it stand for their names.
    """

    station: int
    order: tuple[int, ...]
    lifter: int
    seconds: int
    plates: int
    why: str
    other: int | None = None


@dataclass(frozen=True, slots=True)
class Trim:
    """One way to end earlier: `kind` is backoff, move, lift, set or leave; `sets` are (lifter, set number) left out.

    `moves` are (lifter, station). The ramp is never trimmed, but a lift left out takes its ramp with it.
    `lifter` is the one who must go and is done those seconds earlier; None: the evening is.
    """

    kind: str
    words: str
    seconds: int
    sets: tuple[tuple[int, int], ...] = ()
    moves: tuple[tuple[int, int], ...] = ()
    lifter: int | None = None


@dataclass(frozen=True, slots=True)
class Leaver:
    """A lifter whom the floor's order keeps past the time to go: `done` then, `planned` in the best plan found."""

    lifter: int
    leaves: datetime
    done: datetime
    planned: datetime


@dataclass(frozen=True, slots=True)
class Watch:
    """Where the coach should stand, from when: an eyes-on set and the reason in a few words."""

    station: int
    lifter: int
    set_no: int
    start: datetime
    end: datetime
    why: str


@dataclass(frozen=True, slots=True)
class Outlook:
    """The plan for the state after command `cmd`: `refined` says whether it had the larger budget.

    `finish` is of the order the floor keeps (rising bar, promises and the coach's
    own order), `planned` of the best plan found (never later: a plan that waits less
    long but ends later gains no time), `rotation` of a strict rotation; None when
    there is nothing to lift. `watched` and `watched_rotation` are the shares of
    eyes-on sets that one coach can stand at, None without any. `leavers` are those
    who would not be done by the time they must go.
    """

    cmd: int
    made: datetime
    refined: bool
    turns: tuple[ComingSet, ...] = ()
    finish: datetime | None = None
    planned: datetime | None = None
    rotation: datetime | None = None
    closing: datetime | None = None
    offers: tuple[Offer, ...] = ()
    trims: tuple[Trim, ...] = ()
    watch: tuple[Watch, ...] = ()
    watched: float | None = None
    watched_rotation: float | None = None
    leavers: tuple[Leaver, ...] = ()

    def at(self, station: int) -> tuple[ComingSet, ...]:
        """The coming sets at one station, in order."""
        return tuple(turn for turn in self.turns if turn.station == station)


NO_OUTLOOK = Outlook(cmd=0, made=datetime.min, refined=False)
"""The empty value: nothing is planned."""
