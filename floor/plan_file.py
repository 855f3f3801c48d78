"""An evening described in a file, for `floor plan`. JSON; times are whole seconds.

    {
      "walk": 10,                       seconds for another lifter to step on (0)
      "closing": 3600,                  when the session ends (none: as early as can be)
      "handling": {"plate": 6, "bar": 30, "height": 20},   seconds; plates on both sides at once
      "plates": {"25": 2, "10": 4},     pairs the gym has of each plate (those not named: enough)
      "bars": {"15": 1},                how many of each bar (those not named: enough)
      "stations": [{"name": "1", "free": 0, "stack": "20: 25 5", "told": ["Ada"]}],
      "lifters": [
        {"name": "Ada", "comes": 0, "leaves": 3000, "sets": [
          {"seconds": 40, "rest": 60, "stack": "20: 10", "load": 40, "ramp": true},
          {"seconds": 45, "rest": 180, "longest": 300, "stack": "20: 25 5", "load": 80, "times": 5, "eyes": 1}
        ]}
      ]
    }

A stack is the bar, a colon and one sleeve's plates from the inside out, by the
names painted on them; "height" beside it is where the bar stands. Where nobody
knows the plates, give set-ups instead: "set_ups": {"A": {"A": 0, "B": 20},
"B": {"A": 20, "B": 0}} and "set_up": "A" in each set, and "clashes": [["A", "B"]]
for pairs that cannot be on two stations at once (from "plates" and "bars" that
is worked out; "A" twice for one that there is once). Of a set only "seconds"
and "rest" must be there: "longest" is the longest sensible rest (twice the
rest), "stations" the names of those it can be done at (all), "load" and "ramp"
are for the rising bar, "times" repeats it, "eyes" is how much the coach should
see it. A station that is free later has its stack in use until then.
"stations" may be left out for one station. "comes" is when a late
lifter is there, "leaves" when one must be done (later is counted); "told" are
lifters promised the first turns at a station. A name that is none of these is refused, with its line.
"""

from __future__ import annotations

from floor.core.planner import Chain, Evening, Handling, Place, PlannedSet, Rig, clashes, tables, wrong_with
from floor.core.planner.problem import Table
from floor.core.units import parse_load
from floor.located_json import BadFile, Located, Number, parse

DAY = 86_400
MOST_SETS = 600
"""So that a mistyped file is refused and not worked on for an hour."""
_TOP = ("walk", "closing", "handling", "plates", "bars", "stations", "lifters", "set_ups", "clashes")
_SET = ("seconds", "rest", "longest", "stack", "height", "set_up", "stations", "load", "ramp", "times", "eyes")


def read_evening(text: str) -> Evening:
    """The evening a file describes. Raises BadFile with the line and the reason."""
    return _File(parse(text)).evening()


def _fields(at: Located, known: tuple[str, ...], needed: tuple[str, ...] = ()) -> dict[str, Located]:
    if at.fields is None:
        raise BadFile(at.line, f"an object with {', '.join(known)} should stand here.")
    for name, value in at.fields.items():
        if name not in known:
            raise BadFile(value.line, f"{name!r} is not known here; known are {', '.join(known)}.")
    for name in needed:
        if name not in at.fields:
            raise BadFile(at.line, f"{name!r} is missing.")
    return at.fields


def _items(at: Located, what: str) -> list[Located]:
    if not at.items:
        raise BadFile(at.line, f"a list of {what} should stand here.")
    return at.items


def _word(at: Located, what: str) -> str:
    if not isinstance(at.value, str) or not at.value.strip():
        raise BadFile(at.line, f"{what} should be text in quotes.")
    if not at.value.isprintable():
        raise BadFile(at.line, f"{what} has a character in it that cannot be printed.")
    return at.value.strip()


def _whole(at: Located | None, what: str, otherwise: int, least: int = 0) -> int:
    if at is None:
        return otherwise
    if not isinstance(at.value, Number) or not at.value.text.isdigit():
        raise BadFile(at.line, f"{what} should be a whole number, {least} or more.")
    number = int(at.value.text) if len(at.value.text) < 9 else DAY + 1
    if not least <= number <= DAY:
        raise BadFile(at.line, f"{what} should be from {least} to {DAY}.")
    return number


class _File:
    """The pieces of one file as they are read."""

    def __init__(self, top: Located) -> None:
        self.line = top.line
        self.top = _fields(top, _TOP, ("lifters",))
        self.rigs: list[Rig] = []
        self.by_name = "set_ups" in self.top
        self.names: list[str] = []
        if self.by_name:
            self.names = list((self.top["set_ups"].fields or {}).keys())
        self.stations: list[str] = ["1"]
        self.count = 0
        self.bare: Located | None = None

    def evening(self) -> Evening:
        handling = self.handling()
        places = self.top.get("stations")
        stations = [] if places is None else _items(places, "stations")
        known = ("name", "free", "stack", "height", "set_up", "told")
        fields = [_fields(at, known, ("name",)) for at in stations]
        if fields:
            self.stations = [_word(one["name"], "a station's name") for one in fields]
            self.once(self.stations, [one["name"] for one in fields], "station")
        lifters = _items(self.top["lifters"], "lifters")
        people = [_fields(at, ("name", "comes", "leaves", "sets"), ("name", "sets")) for at in lifters]
        names = [_word(one["name"], "a lifter's name") for one in people]
        self.once(names, [one["name"] for one in people], "lifter")
        chains = tuple(
            Chain(
                name, tuple(s for at in _items(one["sets"], "sets") for s in self.sets(at)), self.comes(one),
                self.leaves(one),
            )
            for name, one in zip(names, people, strict=True)
        )  # fmt: skip
        row = tuple(self.place(one, names) for one in fields) or (Place("1"),)
        if self.bare is not None and len(self.rigs) > 1:
            raise BadFile(self.bare.line, "'stack' is missing; other sets and stations have one.")
        change, moved = tables(self.rigs, handling)
        if self.by_name:
            change = self.set_ups()
            moved = tuple(tuple(0 for _ in self.names) for _ in self.names)
        closing = _whole(self.top["closing"], "closing", 0) if "closing" in self.top else None
        walk = _whole(self.top.get("walk"), "walk", 0)
        evening = Evening(chains, row, change, moved, walk, closing, self.clashes())
        wrong = wrong_with(evening)
        if wrong:
            raise BadFile(self.line, wrong)
        return evening

    @staticmethod
    def once(names: list[str], at: list[Located], what: str) -> None:
        for n, name in enumerate(names):
            if name in names[:n]:
                raise BadFile(at[n].line, f"there are two {what}s named {name!r}.")

    @staticmethod
    def comes(one: dict[str, Located]) -> int:
        return _whole(one.get("comes"), "comes", 0)

    @staticmethod
    def leaves(one: dict[str, Located]) -> int | None:
        return _whole(one["leaves"], "leaves", 0) if "leaves" in one else None

    def clashes(self) -> Table:
        """Which rigs cannot be on two stations at once."""
        if not self.by_name:
            if "clashes" in self.top:
                raise BadFile(self.top["clashes"].line, "clashes are between set_ups; beside stacks, give plates.")
            plates, bars = self.stock("plates"), self.stock("bars")
            return clashes(self.rigs, plates, bars) if plates or bars else ()
        for wrong in ("plates", "bars"):
            if wrong in self.top:
                raise BadFile(self.top[wrong].line, f"the file has set_ups, so give clashes and no {wrong}.")
        if "clashes" not in self.top:
            return ()
        table = [[0] * len(self.names) for _ in self.names]
        for at in _items(self.top["clashes"], "pairs of set_ups"):
            pair = [_word(one, "a set-up") for one in _items(at, "two set_ups")]
            unknown = [name for name in pair if name not in self.names]
            if unknown:
                raise BadFile(at.line, f"there is no set-up {unknown[0]!r}.")
            if len(pair) != 2:
                raise BadFile(at.line, "a clash is between two set_ups.")
            a, b = (self.names.index(name) for name in pair)
            table[a][b] = table[b][a] = 1
        return tuple(map(tuple, table))

    def stock(self, what: str) -> dict[str, int]:
        if what not in self.top:
            return {}
        at = self.top[what]
        if not at.fields:
            raise BadFile(at.line, f"{what} should be an object of names and how many there are.")
        return {name: _whole(value, f"how many {name}", 0) for name, value in at.fields.items()}

    def handling(self) -> Handling:
        usual = Handling()
        if "handling" not in self.top:
            return usual
        given = _fields(self.top["handling"], ("plate", "bar", "height"))
        return Handling(
            _whole(given.get("plate"), "plate", usual.plate),
            _whole(given.get("bar"), "bar", usual.bar),
            _whole(given.get("height"), "height", usual.height),
        )

    def set_ups(self) -> tuple[tuple[int, ...], ...]:
        rows = _fields(self.top["set_ups"], tuple(self.names))
        table = []
        for name in self.names:
            cells = _fields(rows[name], tuple(self.names), tuple(self.names))
            table.append(tuple(_whole(cells[other], "a set-up", 0) for other in self.names))
        return tuple(table)

    def rig(self, one: dict[str, Located]) -> int | None:
        """The number of the stack or set-up named there; None when none is named."""
        if self.by_name:
            for wrong in ("stack", "height"):
                if wrong in one:
                    raise BadFile(one[wrong].line, f"the file has set_ups, so name a set_up and no {wrong}.")
            if "set_up" not in one:
                return None
            name = _word(one["set_up"], "set_up")
            if name not in self.names:
                raise BadFile(one["set_up"].line, f"there is no set-up {name!r}.")
            return self.names.index(name)
        if "set_up" in one:
            raise BadFile(one["set_up"].line, "set_up needs a table: set_ups.")
        if "stack" not in one:
            if "height" in one:
                raise BadFile(one["height"].line, "a height needs a stack beside it.")
            return None
        bar, _, plates = _word(one["stack"], "stack").partition(":")
        height = _word(one["height"], "height") if "height" in one else ""
        return self.numbered(Rig(bar.strip(), tuple(plates.split()), height))

    def numbered(self, rig: Rig) -> int:
        if rig not in self.rigs:
            self.rigs.append(rig)
        return self.rigs.index(rig)

    def sets(self, at: Located) -> list[PlannedSet]:
        one = _fields(at, _SET, ("seconds", "rest"))
        rig = self.rig(one)
        if rig is None:
            if self.by_name:
                raise BadFile(at.line, "'set_up' is missing.")
            rig = self.numbered(Rig(""))
            self.bare = self.bare or at
        rest = _whole(one["rest"], "rest", 0)
        longest = _whole(one.get("longest"), "longest", 2 * rest)
        if longest < rest:
            raise BadFile(one["longest"].line, f"longest is shorter than the rest of {rest} s.")
        times = _whole(one.get("times"), "times", 1, 1)
        self.count += times
        if self.count > MOST_SETS:
            raise BadFile(at.line, f"more than {MOST_SETS} sets.")
        made = PlannedSet(
            _whole(one["seconds"], "seconds", 0, 1), rest, longest, rig, self.where(one), self.load(one),
            not self.yes(one, "ramp"), _whole(one.get("eyes"), "eyes", 0),
        )  # fmt: skip
        return [made] * times

    def where(self, one: dict[str, Located]) -> tuple[int, ...]:
        if "stations" not in one:
            return tuple(range(len(self.stations)))
        found = []
        for at in _items(one["stations"], "stations"):
            name = _word(at, "a station's name")
            if name not in self.stations:
                raise BadFile(at.line, f"there is no station {name!r}.")
            found.append(self.stations.index(name))
        return tuple(sorted(set(found)))

    @staticmethod
    def load(one: dict[str, Located]) -> int:
        if "load" not in one:
            return 0
        at = one["load"]
        load = parse_load(at.value.text) if isinstance(at.value, Number) else "load should be a number."
        if isinstance(load, str):
            raise BadFile(at.line, load)
        return load

    @staticmethod
    def yes(one: dict[str, Located], name: str) -> bool:
        if name not in one:
            return False
        value = one[name].value
        if not isinstance(value, bool):
            raise BadFile(one[name].line, f"{name} should be true or false.")
        return value

    def place(self, one: dict[str, Located], names: list[str]) -> Place:
        told = []
        for at in _items(one["told"], "lifters") if "told" in one else []:
            name = _word(at, "a lifter's name")
            if name not in names:
                raise BadFile(at.line, f"there is no lifter {name!r}.")
            told.append(names.index(name))
        name = _word(one["name"], "a station's name")
        return Place(name, _whole(one.get("free"), "free", 0), self.rig(one), tuple(told))
