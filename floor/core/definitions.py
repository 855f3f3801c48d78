"""Documents a coach edits -> the parts of a `Gym`, or every problem in them as a sentence.

Four documents make a gym: equipment, lifts, programmes and settings, each TOML
text. Nothing here reads a file. Numbers are taken exactly, as hundredths of the
gym's unit; an lb gym's documents hold lb and say so.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from floor.core.gym import GOALS, Bar, Entry, Fault, Gym, Lift, Plate, Programme, Settings, Severity, Stage, Station
from floor.core.toml_reader import Problem, Reader, load_toml
from floor.core.units import UNITS, show_load

DOCUMENTS = ("equipment", "lifts", "programmes", "settings")
"""The ids of the documents a gym is made of."""

STANDS = ("floor", "rack", "bench")
HEIGHTS = ("rack", "safety", "bench")
ROLES = ("work", "build")
LOAD_RULES = ("each-time", "two-for-two")
NAME, CUE, STAGE_NAME, LINE, SENTENCE = 22, 40, 28, 76, 200
"""The most characters of a fault's or other name, a cue, a stage's name, a caution, a drill."""


@dataclass(frozen=True, slots=True)
class Problems:
    """Everything found wrong, in the order of the documents; never empty."""

    found: tuple[Problem, ...]

    def sentences(self, called: Mapping[str, str] | None = None) -> tuple[str, ...]:
        """One sentence a problem: file, place, what is wrong, what to do.

        `called` has the names of the files that documents stand in; the others go by their own name.
        """
        files = {f"{document}.toml": name for document, name in (called or {}).items()}
        return tuple(str(replace(one, file=files.get(one.file, one.file))) for one in self.found)


def parse_gym(texts: Mapping[str, str], versions: Mapping[str, int], unit: str) -> Gym | Problems:
    """The gym that these documents (id -> TOML text) describe, or all that is wrong with them.

    `unit` is the gym's unit, "kg" or "lb"; `versions` is kept as it is.
    """
    problems: list[Problem] = []
    if unit not in UNITS:
        return Problems((Problem("gym", "", f"the unit is {unit[:12]!r}. It must be kg or lb."),))
    for name in texts:
        if name not in DOCUMENTS:
            problems.append(Problem(f"{name}.toml", "", f"not a document of a gym. Use {', '.join(DOCUMENTS)}."))
    readers: dict[str, Reader] = {}
    for name in DOCUMENTS:
        file = f"{name}.toml"
        if name not in texts:
            problems.append(Problem(file, "", "the document is missing. Start from the template."))
        elif (table := load_toml(file, texts[name], problems)) is not None:
            readers[name] = Reader(file, "", table, problems)
    gym = Gym(unit=unit, versions=dict(versions))
    if "equipment" in readers:
        gym = _equipment(gym, readers["equipment"])
    lightest = min((bar.mass for bar in gym.bars if bar.mass > 0), default=0)
    lift_ids: set[str] | None = None
    if "lifts" in readers:
        gym, lift_ids = _lifts(gym, readers["lifts"], lightest)
    programme_ids: set[str] | None = None
    if "programmes" in readers:
        gym, programme_ids = _programmes(gym, readers["programmes"], lift_ids)
    if "settings" in readers:
        gym = _settings(gym, readers["settings"], programme_ids)
    return Problems(tuple(problems)) if problems else gym


def parse_definition(
    definition: str, text: str, texts: Mapping[str, str], versions: Mapping[str, int], unit: str
) -> Gym | Problems:
    """The gym with one document edited: `text` in place of what `texts` has for `definition`.

    A change that breaks another document (a lift taken out that a programme
    still names) is reported at that other document.
    """
    if definition not in DOCUMENTS:
        sentence = f"{definition[:24]!r} is not a document of a gym. Use {', '.join(DOCUMENTS)}."
        return Problems((Problem("gym", "", sentence),))
    return parse_gym({**texts, definition: text}, versions, unit)


def parse_equipment(text: str, unit: str) -> Gym | Problems:
    """A gym with nothing but what the equipment document says, or all that is wrong with it."""
    problems: list[Problem] = []
    table = load_toml("equipment.toml", text, problems)
    gym = Gym(unit=unit)
    if table is not None:
        gym = _equipment(gym, Reader("equipment.toml", "", table, problems))
    return Problems(tuple(problems)) if problems else gym


class _Once:
    """Remembers what has been used, and reports at a reader what comes again."""

    def __init__(self, what: str) -> None:
        self.what = what
        self.seen: dict[object, str] = {}

    def check(self, reader: Reader, value: object, by: str = "") -> None:
        """Report `value` if it was used before; an empty value was reported already."""
        if value in ("", 0):
            return
        if value in self.seen:
            both = f" ({self.seen[value]}, {by})" if by else ""
            reader.wrong(f"two {self.what} {value}{both}. Change one of them.")
        self.seen.setdefault(value, by)


def _same_unit(reader: Reader, unit: str) -> None:
    """Report a document written in the other unit: its numbers would all be wrong."""
    written = reader.one_of("unit", UNITS)
    if written and written != unit:
        reader.wrong(f"this is written in {written} and the gym's unit is {unit}. Write its loads in {unit}.")


def _equipment(gym: Gym, reader: Reader) -> Gym:
    _same_unit(reader, gym.unit)
    collar = reader.load("collar", gym.unit, zero=True, default=0) or 0
    bars, plates, stations = [], [], []
    bar_ids, bar_names = _Once("bars with the id"), _Once("bars with the name")
    for part in reader.tables("bar", "bar"):
        bar = Bar(
            id=part.painted(),
            name=part.text("name", NAME),
            mass=part.load("mass", gym.unit) or 0,
            sleeve=part.whole("sleeve", 50, 1000),
            count=part.whole("count", 1, 100),
        )
        bar_ids.check(part, bar.id)
        bar_names.check(part, bar.name)
        part.done()
        bars.append(bar)
    plate_ids = _Once("plates with the id")
    for part in reader.tables("plate", "plate"):
        plate = Plate(
            id=part.painted(),
            mass=part.load("mass", gym.unit) or 0,
            pairs=part.whole("pairs", 0, 500),
            diameter=part.whole("diameter", 50, 600),
            thickness=part.whole("thickness", 1, 200),
            droppable=part.flag("droppable", default=False),
        )
        plate_ids.check(part, plate.id)
        part.done()
        plates.append(plate)
    station_ids, station_names = _Once("stations with the id"), _Once("stations with the name")
    standing: dict[str, int] = {}
    for part in reader.tables("station", "station", label="name"):
        station = Station(
            id=part.whole("id", 1, 99),
            name=part.text("name", NAME),
            stands=frozenset(part.words("stands", STANDS, some=True)),
            bar=part.painted("bar"),
        )
        station_ids.check(part, station.id if part.has("id") else 0)
        station_names.check(part, station.name)
        if station.bar and station.bar not in bar_ids.seen:
            part.wrong(f'there is no bar "{station.bar}". Name one from the bars above.')
        standing[station.bar] = standing.get(station.bar, 0) + 1
        part.done()
        stations.append(station)
    for bar in bars:
        if standing.get(bar.id, 0) > bar.count and bar.id:
            reader.wrong(
                f"{standing[bar.id]} stations want the bar {bar.id} and there are {bar.count}. "
                f"Give one of them another bar, or put the count right."
            )
    reader.done()
    return replace(gym, collar=collar, bars=tuple(bars), plates=tuple(plates), stations=tuple(stations))


def _lifts(gym: Gym, reader: Reader, lightest: int) -> tuple[Gym, set[str]]:
    _same_unit(reader, gym.unit)
    lifts: dict[str, Lift] = {}
    ids, names = _Once("lifts with the id"), _Once("lifts with the name")
    for part in reader.tables("lift", "lift"):
        faults = _faults(part)
        start = part.load("start", gym.unit)
        lift = Lift(
            id=part.id(),
            name=part.text("name", NAME),
            needs=part.one_of("needs", STANDS),
            from_floor=part.flag("from_floor"),
            rest=part.whole("rest", 0, 1800),
            ramp_rest=part.whole("ramp_rest", 0, 1800),
            step=part.load("step", gym.unit) or 0,
            start=start or 0,
            ramp=part.loads("ramp", gym.unit) or (),
            ramp_reps=part.whole("ramp_reps", 1, 20),
            heights=part.words("heights", HEIGHTS),
            caution=part.text("caution", LINE),
            faults=faults,
            stages=_stages(part, gym.unit, faults),
            phases=_phases(part, faults),
            walk=part.flag("walk", default=False),
            form_first=part.flag("form_first", default=False),
        )
        for key, load in (("start", start), ("ramp", lift.ramp[0] if lift.ramp else None)):
            if load is not None and load < lightest:
                bar = show_load(lightest)
                part.wrong(f"{key}: {show_load(load)} is lighter than the lightest bar ({bar}). Raise it.")
        ids.check(part, lift.id)
        names.check(part, lift.name)
        part.done()
        lifts[lift.id] = lift
    reader.done()
    return replace(gym, lifts=lifts), {str(lift) for lift in ids.seen}


def _faults(lift: Reader) -> tuple[Fault, ...]:
    faults = []
    ids, letters, names = _Once("faults with the id"), _Once("faults on the letter"), _Once("faults with the name")
    for part in lift.tables("faults", "fault", label="letter"):
        fault = Fault(
            id=part.id(),
            letter=part.letter("letter"),
            name=part.text("name", NAME),
            phase=part.text("phase", NAME),
            severity=Severity(part.one_of("severity", tuple(Severity)) or Severity.NOTE),
            cue=part.text("cue", CUE),
        )
        ids.check(part, fault.id)
        letters.check(part, fault.letter, by=fault.name)
        names.check(part, fault.name)
        part.done()
        faults.append(fault)
    return tuple(faults)


def _phases(lift: Reader, faults: tuple[Fault, ...]) -> tuple[str, ...]:
    phases = lift.lines("phases", NAME)
    if len(set(phases)) < len(phases):
        lift.wrong("phases names the same phase twice. Take one out.")
    for fault in faults if phases else ():
        if fault.phase and fault.phase not in phases:
            lift.wrong(f'the phase "{fault.phase}" of fault {fault.letter} is not among phases. Add it in its place.')
    return phases


def _stages(lift: Reader, unit: str, faults: tuple[Fault, ...]) -> tuple[Stage, ...]:
    stages = []
    ids = tuple(fault.id for fault in faults if fault.id)
    for no, part in enumerate(lift.tables("stages", "stage", label="no"), 1):
        stage = Stage(
            no=part.whole("no", 1, 99),
            name=part.text("name", STAGE_NAME),
            drill=part.text("drill", SENTENCE),
            leave=part.text("leave", SENTENCE),
            most=part.load("most", unit) if part.has("most") else None,
            position=part.text("position", NAME) if part.has("position") else "",
            clean_reps=part.whole("clean_reps", 0, 100, default=0),
            over_sets=part.whole("over_sets", 1, 20, default=1),
            evenings=part.whole("evenings", 1, 9, default=1),
            faults=part.words("faults", ids),
            back=part.numbers("back", ids, 1, max(1, no - 1)) if part.has("back") else None,
        )
        if no == 1 and part.has("back"):
            part.wrong("the first stage has none to go back to. Take back out.")
        if stage.over_sets > max(stage.clean_reps, 1):
            part.wrong(f"{stage.clean_reps} clean_reps can't go over {stage.over_sets} sets. Ask for more reps.")
        if stage.evenings > max(stage.clean_reps, 1):
            part.wrong(f"{stage.clean_reps} clean_reps can't go over {stage.evenings} evenings. Ask for more reps.")
        if part.has("no") and stage.no != no:
            part.wrong(f"no is {stage.no} and this is stage {no} in the order. Number them 1, 2, 3 and so on.")
        part.done()
        stages.append(stage)
    return tuple(stages)


def _programmes(gym: Gym, reader: Reader, lift_ids: set[str] | None) -> tuple[Gym, set[str]]:
    """`lift_ids` is None when the lifts could not be read: then nothing is held against them."""
    programmes: dict[str, Programme] = {}
    ids, names = _Once("programmes with the id"), _Once("programmes with the name")
    lights: list[tuple[Reader, str]] = []
    for part in reader.tables("programme", "programme"):
        programme_id, name = part.id(), part.text("name", STAGE_NAME)
        days = []
        for day in part.tables("day", "day"):
            entries = []
            for line in day.tables("lifts", "line", label="lift"):
                entry = Entry(
                    lift=line.id("lift"),
                    sets=line.whole("sets", 1, 20),
                    reps=line.whole("reps", 1, 30),
                    role=line.one_of("role", ROLES, default="work"),
                    percent=line.whole("percent", 1, 100, default=100),
                    backoff=line.whole("backoff", 0, 10, default=0),
                    backoff_percent=line.whole("backoff_percent", 1, 100, default=85),
                )
                if entry.backoff and entry.role != "work":
                    line.wrong("backoff sets follow sets across. Take backoff out, or the role.")
                if lift_ids is not None and entry.lift and entry.lift not in lift_ids:
                    line.wrong(f'there is no lift "{entry.lift}". Name one from lifts.toml, or add it there.')
                line.done()
                entries.append(entry)
            day.done()
            days.append(tuple(entries))
        ids.check(part, programme_id)
        names.check(part, name)
        percent = part.whole("step_percent", 10, 100, default=100)
        light = part.id("pull_light") if part.has("pull_light") else ""
        lights.append((part, light))
        part.done()
        programmes[programme_id] = Programme(programme_id, name, tuple(days), percent, light)
    for part, light in lights:
        if light and light not in programmes:
            part.wrong(f'pull_light: there is no programme "{light}". Name one from this document.')
    reader.done()
    return replace(gym, programmes=programmes), {str(programme) for programme in ids.seen}


def _settings(gym: Gym, reader: Reader, programme_ids: set[str] | None) -> Gym:
    usual = Settings()
    settings = Settings(
        minutes=reader.whole("minutes", 10, 600, default=usual.minutes),
        programme=reader.id("programme"),
        bell=reader.flag("bell", default=usual.bell),
        ease_percent=reader.whole("ease_percent", 1, 50, default=usual.ease_percent),
        repeats_before_ease=reader.whole("repeats_before_ease", 1, 10, default=usual.repeats_before_ease),
        look_ahead=reader.whole("look_ahead", 1, 40, default=usual.look_ahead),
        load_rule=reader.one_of("load_rule", LOAD_RULES, default=usual.load_rule),
        goals=_goals(reader) if reader.has("goals") else usual.goals,
        cautions=reader.lines("cautions", LINE),
    )
    if programme_ids is not None and settings.programme and settings.programme not in programme_ids:
        reader.wrong(f'there is no programme "{settings.programme}". Name one from programmes.toml, or add it there.')
    reader.done()
    return replace(gym, settings=settings)


def _goals(reader: Reader) -> tuple[str, ...]:
    """The order of what an evening is planned for: all of GOALS, rest first."""
    goals = reader.words("goals", GOALS, some=True)
    missing = [goal for goal in GOALS if goal not in goals]
    if goals and missing:
        reader.wrong(f"goals leaves out {', '.join(missing)}. Name all of {', '.join(GOALS)}, in your order.")
    elif goals and goals[0] != "rest":
        reader.wrong("goals has rest after something else. Put rest first: nobody lifts before the least rest is over.")
    return goals
