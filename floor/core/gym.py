"""What a gym owns and teaches, as plain values.

Loads and masses are whole hundredths of the gym's unit (kg or lb): 62.5 kg is
6250. Lengths are whole millimetres. Times are whole seconds. Everything here
is immutable and knows nothing of files, screens or clocks.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

FULL_SIZE_MM = 450
"""Diameter of the largest disc; see tests/outside/test_discs.py for the source."""


class Severity(StrEnum):
    """How much a fault matters, mildest first. These four words everywhere."""

    NOTE = "note"
    FIX = "fix"
    LIGHTEN = "lighten"
    END = "end"

    @property
    def rank(self) -> int:
        """0 for a note up to 3 for a fault that ends the lift for the day."""
        return list(Severity).index(self)


class Grade(StrEnum):
    """The coach's word on the form of a whole set; reps stand beside it."""

    SHARP = "sharp"
    SOUND = "sound"
    ROUGH = "rough"
    BROKEN = "broken"
    UNSEEN = "unseen"


@dataclass(frozen=True, slots=True)
class Plate:
    """One kind of plate in the gym's stock.

    `id` is the number painted on it ("25", "2.5", "45lb") and is unique in a
    gym; `mass` is what it really weighs, in hundredths of the gym's unit.
    """

    id: str
    mass: int
    pairs: int
    diameter: int
    thickness: int
    droppable: bool = False

    @property
    def full_size(self) -> bool:
        """True for a disc that holds the bar at its starting height."""
        return self.diameter >= FULL_SIZE_MM


@dataclass(frozen=True, slots=True)
class Bar:
    """One kind of bar: `mass` in hundredths, `sleeve` the loadable length in mm."""

    id: str
    name: str
    mass: int
    sleeve: int
    count: int


@dataclass(frozen=True, slots=True)
class Station:
    """A place to lift. `stands` holds "floor", "rack" and/or "bench"."""

    id: int
    name: str
    stands: frozenset[str]
    bar: str


@dataclass(frozen=True, slots=True)
class Fault:
    """Something seen in a rep, with the key that marks it and the cue that answers it."""

    id: str
    letter: str
    name: str
    phase: str
    severity: Severity
    cue: str


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage of a lift's teaching order: a drill and what must be shown to leave it.

    `most` is the heaviest load of the stage in hundredths; None sets no limit.
    `position` names what signing the stage off shows for other lifts ("front rack",
    "flat back"); empty for nothing. `clean_reps` watched reps in a row without one
    of the stage's own `faults`, over `over_sets` sets and on `evenings` evenings running,
    propose signing it off (0: never). No `faults` means all of the lift's. `back` holds (fault, stage):
    that fault two sets running sends the lifter there; None means one stage down whatever
    the fault, but from the first stage and the last.
    """

    no: int
    name: str
    drill: str
    leave: str
    most: int | None = None
    position: str = ""
    clean_reps: int = 0
    over_sets: int = 1
    evenings: int = 1
    faults: tuple[str, ...] = ()
    back: tuple[tuple[str, int], ...] | None = None


@dataclass(frozen=True, slots=True)
class Lift:
    """A lift as the gym teaches it.

    `needs` is what must stand at the station; `rest` and `ramp_rest` are
    seconds; `step` and `start` are loads; `ramp` the shared ramp ladder (loads,
    rising); `ramp_reps` the reps of a ramp set; `heights` names what is set for
    each lifter before stepping up, from "rack", "safety", "bench". `form_first`:
    the load never runs ahead of the form limit, whatever the sets are called.
    `phases` are those of the movement, earliest first; `walk`: a session starts with
    a rep of every earlier stage.
    """

    id: str
    name: str
    needs: str
    from_floor: bool
    rest: int
    ramp_rest: int
    step: int
    start: int
    ramp: tuple[int, ...]
    ramp_reps: int
    heights: tuple[str, ...] = ()
    caution: str = ""
    faults: tuple[Fault, ...] = ()
    stages: tuple[Stage, ...] = ()
    form_first: bool = False
    phases: tuple[str, ...] = ()
    walk: bool = False

    def fault(self, fault_id: str) -> Fault | None:
        """The fault with that id, or None."""
        return next((f for f in self.faults if f.id == fault_id), None)

    def stage(self, no: int | None) -> Stage | None:
        """The stage with that number, or None."""
        return next((s for s in self.stages if s.no == no), None)

    def stage_limit(self, stage: int | None) -> int | None:
        """The heaviest load of that stage, None when it sets no limit."""
        return next((s.most for s in self.stages if s.no == stage), None)

    def phase_rank(self, fault: Fault) -> int:
        """How early in the movement a fault is: 0 for the first phase."""
        order = self.phases or tuple(dict.fromkeys(f.phase for f in self.faults))
        return order.index(fault.phase) if fault.phase in order else len(order)

    def fault_at(self, letter: str) -> Fault | None:
        """The fault marked by that letter, or None."""
        return next((f for f in self.faults if f.letter == letter), None)


@dataclass(frozen=True, slots=True)
class Entry:
    """One lift on one training day. `role` is "work" (sets across) or "build".

    `percent` scales the lifter's load for a light day (100 is the whole load).
    `backoff` sets follow at `backoff_percent` of the day's load, role "backoff".
    """

    lift: str
    sets: int
    reps: int
    role: str = "work"
    percent: int = 100
    backoff: int = 0
    backoff_percent: int = 85


@dataclass(frozen=True, slots=True)
class Programme:
    """Training days in sequence; the next day follows the last one done, whatever the weekday.

    `step_percent` scales every lift's step. `pull_light` is the programme to
    propose when the deadlift no longer recovers; empty proposes none.
    """

    id: str
    name: str
    days: tuple[tuple[Entry, ...], ...]
    step_percent: int = 100
    pull_light: str = ""


GOALS = ("rest", "closing", "waiting", "plates")
"""What an evening is planned for, the first before the next: no rest under its least, the closing time and each
lifter's own time to go, nobody waiting past the longest sensible rest, few plates moved."""


@dataclass(frozen=True, slots=True)
class Settings:
    """The gym's own choices. `minutes` is how long a session is booked for.

    `look_ahead` is how many coming sets a station's stacks are chosen for; 1
    takes the fewest plates each time. `load_rule` is "each-time" (a step when all
    reps were made) or "two-for-two" (two reps over, two sessions running). `goals`
    are GOALS in the gym's own order; rest is always the first.
    """

    minutes: int = 90
    programme: str = ""
    bell: bool = True
    ease_percent: int = 10
    repeats_before_ease: int = 3
    look_ahead: int = 6
    load_rule: str = "each-time"
    goals: tuple[str, ...] = GOALS
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Gym:
    """Everything the gym has adopted, parsed. `versions` maps definition id to version."""

    unit: str = "kg"
    plates: tuple[Plate, ...] = ()
    bars: tuple[Bar, ...] = ()
    stations: tuple[Station, ...] = ()
    collar: int = 0
    lifts: Mapping[str, Lift] = field(default_factory=dict)
    programmes: Mapping[str, Programme] = field(default_factory=dict)
    settings: Settings = Settings()
    versions: Mapping[str, int] = field(default_factory=dict)

    def station(self, station_id: int) -> Station:
        """The station with that number; KeyError if the gym has none."""
        for station in self.stations:
            if station.id == station_id:
                return station
        raise KeyError(station_id)

    def bar(self, bar_id: str) -> Bar:
        """The bar with that id; KeyError if the gym has none."""
        for bar in self.bars:
            if bar.id == bar_id:
                return bar
        raise KeyError(bar_id)

    def plate(self, plate_id: str) -> Plate:
        """The plate with that number; KeyError if the gym has none."""
        for plate in self.plates:
            if plate.id == plate_id:
                return plate
        raise KeyError(plate_id)
