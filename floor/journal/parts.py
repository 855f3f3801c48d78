"""The coach's views in two halves: evenings that were copied long ago, and those written to since.

Every view but four is put together evening by evening, so it is the sum of what
it says of some evenings and of the others. `STORED` are the tables that each
half keeps, by the lifter's number and never with a name; `VIEWS` are the
coach's views over both, with the names, for the file a question is asked of.
The four: `week`, `plans` and `people` look over all evenings and are put
together when they are asked; `latest_plan` is a small table made with each copy.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from hashlib import blake2b

from floor.journal import more_views, views
from floor.journal.more_views import load as _load
from floor.journal.more_views import local as _local
from floor.journal.naming import Names, with_names

WORK: tuple[str, ...] = ("evenings", "planned_sets", "lifted", "marks", "seen_faults")
"""The views' parts that a half is made from, in their order, over its own `standing`."""

_BOARD = re.compile(r"coalesce\(p\.board, 'Lifter ' \|\| (\w+)\.lifter\)")


def _numbered(query: str) -> str:
    """A coach's view with the lifter's number in place of the name."""
    return _BOARD.sub(r"\1.lifter", query)


_SETS = f"""
WITH seen AS (
    SELECT session, lifter, set_no, count(*) AS faults FROM seen_faults GROUP BY session, lifter, set_no
)
SELECT l.session, e.evening, l.lifter, l.lift, l.set_no, l."role", l.planned, l.made, l.missed,
       {_load('l."load"')} AS "load", l.grade, l.grade <> 'unseen' AS seen,
       {_local("l.started")} AS started, {_local("l.down")} AS down, l.station, l.stage,
       coalesce(f.faults, 0)::INTEGER AS faults
FROM lifted AS l LEFT JOIN evenings AS e USING (session) LEFT JOIN seen AS f USING (session, lifter, set_no)
ORDER BY l.session, l.began, l.seq, l.set_no
"""

_PLANS = f"""
SELECT n.session, CAST({_local("n.happened")} AS DATE) AS evening, n.lifter, n.lift, n."sets", n.reps,
       {_load('n."load"')} AS "load", {_load("n.was")} AS was, n."rule", n."count" AS repeats,
       n.suggested AS instead_of, n.seq
FROM standing AS n WHERE n.kind = 'next_planned' ORDER BY n.seq
"""

_FACTS = """
SELECT session, lifter, kind, "definition", happened, seq FROM standing
WHERE kind IN ('lifter_joined', 'programme_given', 'lifter_arrived') ORDER BY seq
"""

_TOLD = "SELECT DISTINCT session FROM standing"

_BY_EVENING = ("reps", "faults", "loads", "rests", "proposals", "changes", "cues")

STORED: dict[str, str] = {
    "sets": _SETS,
    **{name: _numbered(views.VIEWS[name]) for name in _BY_EVENING},
    "plans": _PLANS,
    "facts": _FACTS,
    "told": _TOLD,
}
"""What a half keeps, and how it is made from the views' parts over its own `standing`."""

_WEEK = """
SELECT {name} AS lifter, s.lift, count(*)::INTEGER AS "sets", sum(s.made)::INTEGER AS made,
       sum(s.missed)::INTEGER AS missed, CAST(sum(s."load" * s.made) AS DECIMAL(12, 2)) AS moved,
       sum(s.faults)::INTEGER AS faults, max(s."load") FILTER (s.made > 0) AS best_load,
       (arg_max(s.made, (s."load", s.made)) FILTER (s.made > 0))::INTEGER AS best_reps
FROM {sets} AS s JOIN fresh.name AS n ON n.id = s.lifter
WHERE s.evening > (SELECT max(evening) FROM {sets}) - 7
GROUP BY s.lifter, n.board, s.lift ORDER BY 1, s.lift
"""

_PLAIN = ("sets", *_BY_EVENING, "plans")
_HIDDEN = {"sets": " EXCLUDE (faults)", "plans": " EXCLUDE (seq)"}
_MORE = {"plans": ", s.seq IN (FROM fresh.latest_plan) AS latest"}

KEPT = ".kept"
"""The ending of the file beside a snapshot of a large gym: JSON, the kept copy's place and the evenings not to read."""

MARK: str = blake2b(repr((STORED, views.VIEWS)).encode(), digest_size=8).hexdigest()
"""Changes with the views: a copy made by others is made anew."""


def both(name: str, touched: Sequence[int], kept: str = "kept", fresh: str = "fresh") -> str:
    """Rows of a stored table from both halves; `touched` are the evenings that only the new half may tell of."""
    listed = ", ".join(str(int(session)) for session in touched)
    unless = f" WHERE coalesce(session, 0) NOT IN ({listed})" if listed else ""
    return f'(SELECT * FROM {kept}."{name}"{unless} UNION ALL SELECT * FROM {fresh}."{name}")'


def latest_plan(touched: Sequence[int], kept: str, fresh: str) -> str:
    """The numbers of the plans that stand, over the halves attached under these names."""
    return f"SELECT max(seq) AS seq FROM {both('plans', touched, kept, fresh)} GROUP BY lifter, lift"


def coach_views(touched: Sequence[int], names: Names) -> dict[str, str]:
    """The views a question may use, over the attached halves `kept` and `fresh`; `names` are the faults'."""
    found = {
        name: f"SELECT s.* {_hidden(name)}REPLACE (n.board AS lifter){_MORE.get(name, '')} "
        f"FROM {both(name, touched)} AS s JOIN fresh.name AS n ON n.id = s.lifter"
        for name in _PLAIN
    }
    found["week"] = _WEEK.format(name="n.board", sets=both("sets", touched))
    zone = "timezone((SELECT zone FROM fresh.gym), f.{})"
    found["people"] = more_views.PEOPLE_OVER.format(
        facts=both("facts", touched), person="fresh.name", joined=zone.format("joined"), came=zone.format("came")
    )
    return {view: with_names(view, query, names) for view, query in found.items()}


def _hidden(name: str) -> str:
    return f"{_HIDDEN[name].strip()} " if name in _HIDDEN else ""
