"""Documents a coach edits -> the parts of a `Gym`, or every problem in them as a sentence.

Four documents make a gym: equipment, lifts, programmes and settings, each TOML
text. Nothing here reads a file. Numbers are taken exactly, as hundredths of the
gym's unit; an lb gym's documents hold lb and say so.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from floor.core.documentparts import LINE, NAME, STAGE_NAME, STANDS, Once, same_unit
from floor.core.gym import GOALS, Bar, Entry, Gym, Plate, Programme, Settings, Station
from floor.core.liftsdocument import read_lifts
from floor.core.toml_reader import Problem, Reader, load_toml
from floor.core.units import UNITS

DOCUMENTS = ("equipment", "lifts", "programmes", "settings")
"""The ids of the documents a gym is made of."""

ROLES = ("work", "build")
LOAD_RULES = ("each-time", "two-for-two")
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
        gym, lift_ids = read_lifts(gym, readers["lifts"], lightest)
    programme_ids: set[str] | None = None
    if "programmes" in readers:
        gym, programme_ids = _programmes(gym, readers["programmes"], lift_ids)
    if "settings" in readers:
        gym = _settings(gym, readers["settings"], programme_ids)
    return Problems(tuple(problems)) if problems else gym


def parse_equipment(text: str, unit: str) -> Gym | Problems:
    """A gym with nothing but what the equipment document says, or all that is wrong with it."""
    problems: list[Problem] = []
    table = load_toml("equipment.toml", text, problems)
    gym = Gym(unit=unit)
    if table is not None:
        gym = _equipment(gym, Reader("equipment.toml", "", table, problems))
    return Problems(tuple(problems)) if problems else gym


def _equipment(gym: Gym, reader: Reader) -> Gym:
    same_unit(reader, gym.unit)
    collar = reader.load("collar", gym.unit, zero=True, default=0) or 0
    bars, plates, stations = [], [], []
    bar_ids, bar_names = Once("bars with the id"), Once("bars with the name")
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
    plate_ids = Once("plates with the id")
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
    station_ids, station_names = Once("stations with the id"), Once("stations with the name")
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


def _programmes(gym: Gym, reader: Reader, lift_ids: set[str] | None) -> tuple[Gym, set[str]]:
    """`lift_ids` is None when the lifts could not be read: then nothing is held against them."""
    programmes: dict[str, Programme] = {}
    ids, names = Once("programmes with the id"), Once("programmes with the name")
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
