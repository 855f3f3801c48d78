"""The lifts document: lifts with their faults, the phases of the movement and the stages they are taught in."""

from __future__ import annotations

from dataclasses import replace

from floor.core.documentparts import CUE, LINE, NAME, SENTENCE, STAGE_NAME, STANDS, Once, same_unit
from floor.core.gym import Fault, Gym, Lift, Severity, Stage
from floor.core.toml_reader import Reader
from floor.core.units import show_load

HEIGHTS = ("rack", "safety", "bench")
"""What may be set to a height for a lift."""


def read_lifts(gym: Gym, reader: Reader, lightest: int) -> tuple[Gym, set[str]]:
    """The gym with the lifts of a document, and their ids; `lightest` is the lightest bar's mass (hundredths)."""
    same_unit(reader, gym.unit)
    lifts: dict[str, Lift] = {}
    ids, names = Once("lifts with the id"), Once("lifts with the name")
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
    ids, letters, names = Once("faults with the id"), Once("faults on the letter"), Once("faults with the name")
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
