"""Which column of a spreadsheet is what, by its name: tolerant of the names coaches give, never guessing twice."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

FIELDS: dict[str, str] = {
    "date": "the day",
    "lifter": "the lifter's name",
    "lift": "the lift",
    "work": "sets in shorthand",
    "sets": "how many sets",
    "reps": "reps made",
    "load": "the load",
    "unit": "kg or lb",
    "missed": "reps missed",
    "grade": "sharp, sound, rough, broken",
}
"""Every field a column can be, and what is read from it."""

_NAMES: dict[str, tuple[str, ...]] = {
    "date": ("date", "day", "when", "session date", "training date", "evening"),
    "lifter": ("lifter", "name", "athlete", "who", "member", "person", "full name", "lifter name", "athlete name"),
    "lift": ("lift", "exercise", "movement", "lift name", "exercise name"),
    "work": ("work", "done", "result", "results", "log", "shorthand", "work done", "sets and reps", "sets x reps",
             "sets reps", "performance", "work sets"),
    "sets": ("sets", "no of sets", "number of sets"),
    "reps": ("reps", "rep", "repetitions", "reps made", "reps done"),
    "load": ("load", "weight", "kg", "kgs", "lb", "lbs", "kilos", "pounds", "bar load", "weight used"),
    "unit": ("unit", "units"),
    "missed": ("missed", "misses", "failed", "fails", "reps missed"),
    "grade": ("grade", "form"),
}  # fmt: skip
_ELSEWHERE: dict[str, tuple[str, ...]] = {
    "date": ("datum", "trainingstag", "fecha", "jour", "giorno"),
    "lifter": ("athlet", "athletin", "sportler", "sportlerin", "atleta", "naam", "vorname", "nome", "nom", "prenom"),
    "lift": ("ubung", "uebung", "exercice", "ejercicio", "exercicio", "esercizio", "oefening", "ovning"),
    "sets": ("satze", "saetze"),
    "reps": ("wdh", "wiederholungen", "repeticiones", "repeticoes", "ripetizioni", "herhalingen"),
    "load": ("gewicht", "poids", "peso", "carga", "carico", "vikt"),
    "unit": ("einheit", "unite", "unidad", "unidade", "unita", "eenheid"),
}
"""The same in other languages, without accents, where no column has the name above.

Only words that mean nothing else in a log: "data", "tag", "series", "last" do.
"""
_UNIT_WORDS = {"kg": "kg", "kgs": "kg", "kilos": "kg", "lb": "lb", "lbs": "lb", "pounds": "lb"}
_FIELD_OF = {name: of for table in (_NAMES, _ELSEWHERE) for of, names in table.items() for name in names}


@dataclass(frozen=True, slots=True)
class Columns:
    """The columns found: `places` says which column (counting from 0) is which field.

    `headings` are all headings as written; `load_unit` is the unit a load's heading names, "" for none.
    """

    places: Mapping[str, int] = field(default_factory=dict)
    headings: tuple[str, ...] = ()
    load_unit: str = ""
    wrong: tuple[str, ...] = ()

    def heading(self, name: str) -> str:
        """The heading of a field's column, or the field's own name where there is no such column."""
        return self.headings[self.places[name]] if name in self.places else name

    @property
    def unread(self) -> tuple[str, ...]:
        """Headings of columns that are not read."""
        used = set(self.places.values())
        return tuple(h for i, h in enumerate(self.headings) if h.strip() and i not in used)


def find_columns(headings: Sequence[str], told: Mapping[str, str]) -> Columns:
    """The columns by their headings; `told` is the coach's own heading -> field, which goes before.

    Two columns for one field are in `wrong`.
    """
    places: dict[str, int] = {}
    wrong: list[str] = []
    unit = ""
    own = {_plain(heading): name for heading, name in told.items()}
    plainly = {of for of, names in _NAMES.items() for heading in headings if _parts(heading)[0] in names}
    for place, heading in enumerate(headings):
        name = own.get(_plain(heading))
        base, in_brackets = _parts(heading)
        name = name or ("" if own and _FIELD_OF.get(base) in own.values() else _FIELD_OF.get(base))
        if name in plainly and base in _ELSEWHERE.get(name, ()) and _plain(heading) not in own:
            continue
        if not name:
            continue
        if name in places:
            both = f'"{headings[places[name]]}" and "{heading}"'
            wrong.append(f'{both} can both be {FIELDS[name]}: say which, as in --map "{heading}={name}".')
            continue
        places[name] = place
        if name == "load":
            unit = _UNIT_WORDS.get(in_brackets) or _UNIT_WORDS.get(base, "")
    return Columns(places, tuple(headings), unit, tuple(wrong))


def not_there(headings: Sequence[str], told: Mapping[str, str]) -> tuple[str, ...]:
    """The headings the coach named that none of these is."""
    there = {_plain(heading) for heading in headings}
    return tuple(heading for heading in told if _plain(heading) not in there)


def read_map(pairs: Sequence[str]) -> dict[str, str] | str:
    """--map "Übung=lift" as heading -> field, or a sentence."""
    told: dict[str, str] = {}
    for pair in pairs:
        heading, sign, name = pair.rpartition("=")
        if not sign or not heading.strip() or name.strip() not in FIELDS:
            return f'--map "{pair}" is not HEADING=FIELD. The fields are {", ".join(FIELDS)}.'
        told[heading.strip()] = name.strip()
    return told


def _parts(heading: str) -> tuple[str, str]:
    """A heading without its unit, and the unit: "Weight (kg)" and "load lb" both have one."""
    plain = _plain(heading)
    match = re.fullmatch(r"(.*\S)\s*[\[(,/ ]\s*(kgs?|lbs?|kilos|pounds)\s*[\])]?", plain)
    if match and _FIELD_OF.get(match[1].strip()) == "load":
        return match[1].strip(), match[2]
    return plain, ""


def _plain(heading: str) -> str:
    """A heading as it is compared: capitals, blanks and accents make no difference."""
    letters = unicodedata.normalize("NFKD", heading.casefold())
    plain = "".join(letter for letter in letters if not unicodedata.combining(letter))
    return re.sub(r"[\s_.:#*]+", " ", plain).strip()
