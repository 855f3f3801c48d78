"""The tables a question can use, in words: what a row is, and one sentence and a unit for every column."""

from __future__ import annotations

from dataclasses import dataclass

KG_OR_LB = "load"
"""Stands for the gym's own unit of load."""


@dataclass(frozen=True, slots=True)
class Meaning:
    """One column: its unit ("" for none, KG_OR_LB for the gym's unit of load) and what it says."""

    name: str
    unit: str
    words: str


@dataclass(frozen=True, slots=True)
class View:
    """A table a question can use: what a row is, and its columns in order."""

    name: str
    row: str
    meanings: tuple[Meaning, ...]

    @property
    def columns(self) -> tuple[tuple[str, str], ...]:
        """Name and unit of every column."""
        return tuple((m.name, m.unit) for m in self.meanings)


_TEXT = """
sets: one row a set that was lifted
session | | number of the evening, 1 is the first
evening | date | the day, where the gym stands
lifter | | board name
lift | | the lift's id, as in the lifts document
set_no | | number of the set in the lifter's evening
role | | ramp, work or build; empty for a set brought in
planned | reps | how many were to be done
made | reps | how many were made
missed | reps | how many were tried and missed
load | load | what was on the bar, the bar too
grade | | sharp, sound, rough, broken or unseen
seen | yes/no | whether the coach watched
started | time | when the bar left; empty if recorded after
down | time | when the bar was down; noon for a set brought in
station | | number of the place it was lifted at
stage | | stage of the teaching order it was done in

reps: one row a rep tried
session | | number of the evening
evening | date | the day
lifter | | board name
lift | | the lift's id
set_no | | the set it belongs to
role | | ramp, work or build
rep | | number of the rep in its set
made | yes/no | whether it was made
load | load | what was on the bar
grade | | the grade of its set
seen | yes/no | whether the coach watched the set
faults | | ids of what was seen in it; empty when clean
stage | | stage of the teaching order
fault_names | | the same by name, as in the lifts document

faults: one row a fault seen
session | | number of the evening
evening | date | the day
lifter | | board name
lift | | the lift's id
set_no | | the set; empty in a drill
rep | | the rep; 0 is somewhere in the set
fault | | the fault's id, as in the lifts document
load | load | what was on the bar; empty in a drill
grade | | the grade of its set
stage | | stage of the teaching order
drill | yes/no | whether it was seen in a group drill
happened | time | when it was marked
fault_name | | the fault's name, as in the lifts document

loads: one row an evening, lifter and lift
session | | number of the evening
evening | date | the day
lifter | | board name
lift | | the lift's id
top | load | the heaviest load with a rep made
reps | reps | most reps made in a set with it
sets | sets | how many sets with it
next | load | what next time brings
rule | | id of the rule that says so

rests: one row a rest, bar down to next start
session | | number of the evening
evening | date | the day
lifter | | board name
lift | | lift of the set after the rest
set_no | | the set after the rest
role | | role of the set after the rest
load | load | load of the set after the rest
rest | s | how long it was
planned | s | how long it was to be; empty in older records

week: one row a lifter and lift, the seven days up to the latest evening with sets
lifter | | board name
lift | | the lift's id
sets | sets | how many were lifted
made | reps | how many were made
missed | reps | how many were missed
moved | load | load times reps, added up
faults | faults | how many were seen
best_load | load | the heaviest load with a rep made
best_reps | reps | most reps made with it

proposals: one row a proposal after a set
session | | number of the evening
evening | date | the day
lifter | | board name
lift | | the lift's id
set_no | | the next set, which it was for
action | | add, keep, lighten, rest, step_down, step_up or stop
was | load | what was planned before
load | load | what was proposed
rule | | id of the rule that proposed it
overruled | | what the coach did instead; empty if nothing
coach_load | load | the load the coach chose

plans: one row a time that next time was planned
session | | the evening that led to it; empty if by hand
evening | date | the day it was planned
lifter | | board name
lift | | the lift's id
sets | sets | work sets planned
reps | reps | reps in each
load | load | the load planned, before a light day's share
was | load | the load before it
rule | | id of the rule that planned it
repeats | | repeats in a row up to now
instead_of | | id of the rule whose plan the coach set this in place of; empty if none
latest | yes/no | whether this is the plan that stands

people: one row a lifter
lifter | | board name
programme | | id of the programme; empty if none
joined | date | when they joined; the first day brought in, where that is earlier
sessions | sessions | evenings they came to
last_came | date | their last evening; empty if never

changes: one row a set whose plates are known
session | | number of the evening
evening | date | the day
station | | number of the place
lifter | | board name
lift | | the lift's id
set_no | | the set that was loaded for
load | load | what was on the bar
plates_off | plates | taken off, both sleeves together
plates_on | plates | put on, both sleeves together

cues: one row a time that a lifter's cue changed
session | | number of the evening
evening | date | the day
lifter | | board name
lift | | the lift's id
set_no | | the set after which; 0 before any
fault | | id of the fault worked on from then; empty if none
fault_name | | its name, as in the lifts document
"""


def _read(text: str) -> tuple[View, ...]:
    views = []
    for block in text.strip().split("\n\n"):
        head, *lines = block.split("\n")
        name, _, row = head.partition(": ")
        cells = [[cell.strip() for cell in line.split("|")] for line in lines]
        views.append(View(name, row, tuple(Meaning(*cell) for cell in cells)))
    return tuple(views)


VIEWS: tuple[View, ...] = _read(_TEXT)
"""What a question can use, in the order it is listed."""
