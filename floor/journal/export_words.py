"""What an export says of itself: for every column its unit, and one sentence."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Column:
    """A column: `unit` is "" for none; {unit} in it stands for the gym's own unit, kg or lb."""

    name: str
    unit: str
    says: str


_EVENT = """
seq | | Number of the event in the gym file, from 1 without a gap: the order of the record.
cmd | | Number of the command it belongs to; the events of one command were recorded together.
kind | | What happened, in the past tense; schema.json lists what each kind needs.
happened | UTC | When: the time in UTC, to the microsecond.
session | | Number of the evening; empty outside one.
station | | Number of the place it happened at; 0 where nobody noted it.
lifter | | Number of the lifter, as in person.
other | | Number of a second lifter.
lift | | Id of the lift.
other_lift | | Id of a second lift.
set_no | | Number of the set in the lifter's evening.
role | | Of a planned set: ramp, work or build.
rep | | Number of the rep in its set; 0 is somewhere in the set.
sets | sets | How many sets were planned for next time.
reps | reps | Reps planned, or reps made where a set was ended or recorded.
missed | reps | Reps tried and missed.
load | 0.01 {unit} | The load, bar included, in hundredths: 6250 is 62.5.
was | 0.01 {unit} | The load before, in hundredths.
bar | | Id of the bar.
stack | | The plates on one sleeve, innermost first, by the number painted on them.
grade | | The coach's word on the set: sharp, sound, rough, broken or unseen.
suggested | | The grade that was suggested; of a plan by hand, id of the rule whose plan it stands in place of.
fault | | Id of the fault seen.
action | | What was proposed or decided.
rule | | Id of the rule it was proposed by; imported is brought in from elsewhere.
definition | | Id of a document or programme; of what rules proposed, which version of them.
stage | | Stage of the lift's teaching order.
day | | Day of a programme, from 0.
count | | A count: a document's version, sets concerned, or repeats in a row, by kind.
seconds | s | Seconds: how long ago the bar was put down, the rest owed, or until a lifter comes or must go.
youth | yes/no | Whether the lifter is a child or a youth.
rack | hole | Height of the rack, as the number of a hole.
safety | hole | Height of the safeties, as the number of a hole.
bench | hole | Height of the bench, as the number of a hole.
undoes | | Of an undo: the number of the command it takes back.
chain | | A digest of the chain before and of this row: it shows a row that was lost or changed.
"""

_PERSON = """
id | | Number of the lifter in event.
name | | Full name; without names in the export, Lifter and the number.
board | | The name that others may read.
notes | | Notes about the lifter, oldest first: the command they were written with, what about, the words.
"""

_DEFINITION = """
id | | Id of the document: equipment, lifts, programmes, settings, questions.
kind | | What kind of document it is.
version | | Its version, from 1; which one was adopted when is in event.
text | | The document as it was written, in TOML.
"""

_META = """
key | | What is told: schema, unit or zone.
value | | The number of the layout, the gym's unit of load, the gym's time zone.
"""

SAYS: dict[str, str] = {
    "event": "One row an event, never changed; what an undo took back still stands here, named by undoes.",
    "person": "One row a lifter.",
    "definition": "One row a version of a document.",
    "meta": "What the gym file says of itself.",
}


def _columns(text: str) -> tuple[Column, ...]:
    rows = ([part.strip() for part in line.split("|")] for line in text.strip().splitlines())
    return tuple(Column(*row) for row in rows)


COLUMNS: dict[str, tuple[Column, ...]] = {
    "event": _columns(_EVENT),
    "person": _columns(_PERSON),
    "definition": _columns(_DEFINITION),
    "meta": _columns(_META),
}
"""The columns of each table, in order."""
