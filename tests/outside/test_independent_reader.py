"""Another engine, Polars, which shares no code with DuckDB or Arrow, reads the export to the same answers.

What stands, what was lifted and what was seen is worked out here from the rows
of the export alone, by its schema file, and compared with the ready questions
asked of the gym. Computed on both sides, nothing published.
"""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import polars as pl
import pytest

from floor.asking import Asker
from floor.background import Question, Table
from floor.journal.leaving import write_export
from floor.templates import ready_questions
from tests.scenario import demo_session

READY = {q.name: q.sql for q in ready_questions()}
SET = ["session", "lifter", "set_no"]
Rows = list[tuple[Any, ...]]
NUMBER = re.compile(r"-?\d+(\.\d+)?(e-?\d+)?")


@dataclass
class Reader:
    """The export as Polars sees it."""

    events: pl.DataFrame
    names: dict[int, str]
    zone: str
    asked: dict[str, Rows]
    """What the gym itself answers."""
    documents: dict[str, str]
    """The latest text of each document, by its id."""

    @property
    def faults(self) -> dict[str, str]:
        """The fault's name by its id, as the lifts document that came along has it."""
        lifts = tomllib.loads(self.documents["lifts"])["lift"]
        return {fault["id"]: fault["name"] for lift in lifts for fault in lift["faults"]}

    @property
    def standing(self) -> pl.DataFrame:
        undone = self.events.filter(pl.col("kind") == "undone")["undoes"]
        return self.events.filter((pl.col("kind") != "undone") & ~pl.col("cmd").is_in(undone.implode()))

    @property
    def evenings(self) -> pl.DataFrame:
        opened = self.standing.filter(pl.col("kind") == "session_opened")
        return opened.select("session", pl.col("happened").dt.convert_time_zone(self.zone).dt.date().alias("evening"))

    @property
    def sets(self) -> pl.DataFrame:
        """One row a set that was graded, or ticked off with its ramp: hundredths, as the last word on it was."""
        standing = self.standing.sort("seq")
        planned = (
            standing.filter(pl.col("kind") == "set_planned")
            .group_by(SET).agg(pl.col("lift", "role", "reps", "load", "stage").last(), pl.col("seq").min())
        )  # fmt: skip
        changed = standing.filter((pl.col("kind") == "load_changed") & pl.col("set_no").is_not_null())
        loads = changed.group_by(SET).agg(pl.col("load").last().alias("changed"))
        words = ("set_ended", "set_recorded", "set_put_right")
        ended = (
            standing.filter(pl.col("kind").is_in(words))
            .group_by(SET).agg(
                pl.col("reps", "missed", "load", "grade", "lift", "stage").drop_nulls().last(),
                pl.col("kind").is_in(words[:2]).any().alias("whole"),
            )
        )  # fmt: skip
        told = ended.filter("whole").join(planned, SET, "left", suffix="_planned").with_columns(
            pl.col("stage").fill_null(pl.col("stage_planned"))
        )
        ticked = standing.filter(pl.col("kind") == "ramp_done").select(
            "session", "lifter", "lift", pl.col("seq").alias("ticked")
        )
        ramps = (
            planned.filter(pl.col("role") == "ramp").join(ticked, ["session", "lifter", "lift"])
            .filter(pl.col("ticked") > pl.col("seq")).unique(SET).join(told, SET, "anti")
            .join(loads, SET, "left").join(self.given, SET, "left").with_columns(pl.col("load").fill_null(0))
            .with_columns(
                pl.coalesce("given", "changed", "load").alias("load"), missed=pl.lit(0), grade=pl.lit("unseen"))
            .join(ended.select(*SET, pl.col("reps", "missed", "load", "grade").name.suffix("_right")), SET, "left")
            .with_columns(*(pl.coalesce(f"{c}_right", c).alias(c) for c in ("reps", "missed", "load", "grade")))
        )  # fmt: skip
        columns = [*SET, "lift", "role", "reps", "missed", "load", "grade", "stage"]
        both = [
            frame.select(*SET, "lift", "role", *(pl.col(c).cast(pl.Int64) for c in ("reps", "missed", "load")), "grade",
                         pl.col("stage").cast(pl.Int64))
            for frame in (told, ramps)
        ]  # fmt: skip
        sets = pl.concat(both).select(columns).join(self.evenings, "session")
        return sets.with_columns(pl.col("lifter").replace_strict(self.names).alias("name"))

    @property
    def given(self) -> pl.DataFrame:
        """The load that the latest proposal gave a ramp set, where it was said after the plan and before the tick."""
        standing = self.standing.sort("seq")
        plans = standing.filter(pl.col("kind").is_in(("set_planned", "load_changed")) & pl.col("set_no").is_not_null())
        told = plans.group_by(SET).agg(pl.col("lift").drop_nulls().last(), pl.col("seq").max().alias("told"))
        said = standing.filter(
            pl.col("kind").is_in(("set_proposed", "proposal_overruled")) & (pl.col("action") != "stop")
        ).select("session", "lifter", "lift", "count", "seq", first=pl.col("set_no"), given=pl.col("load"))
        ticks = standing.filter(pl.col("kind") == "ramp_done").select("session", "lifter", "lift", tick=pl.col("seq"))
        lift = ["session", "lifter", "lift"]
        later = told.join(ticks, lift).filter(pl.col("tick") > pl.col("told"))
        first_tick = later.group_by(SET).agg(pl.col("tick").min())
        met = told.join(first_tick, SET).join(said, lift).filter(
            pl.col("seq").is_between("told", "tick"), pl.col("set_no") >= pl.col("first"),
            pl.col("set_no") < pl.col("first") + pl.col("count"),
        )  # fmt: skip
        return met.sort("seq").group_by(SET).agg(pl.col("given").last())

    @property
    def week(self) -> pl.DataFrame:
        last = self.sets["evening"].max()
        assert isinstance(last, date)
        return self.sets.filter(pl.col("evening") > last - timedelta(days=7))

    def same(self, name: str, mine: pl.DataFrame) -> None:
        """The gym's answer and these rows are the same, in whatever order."""
        must = sorted(map(_plain, self.asked[name]))
        assert must, "the demo gym has something to ask about"
        assert sorted(map(_plain, mine.rows())) == must


def _plain(row: tuple[Any, ...]) -> tuple[str, ...]:
    """Cells as words: numbers alike however they are kept, exact ones having come as text."""
    return tuple(f"{float(x):.3f}" if NUMBER.fullmatch(str(x)) else str(x) for x in row)


def kg(column: str) -> pl.Expr:
    return (pl.col(column) / 100).alias(column)


@pytest.fixture(scope="module")
def reader(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Reader]:
    folder = tmp_path_factory.mktemp("reader")
    session, _ = demo_session(folder)
    write_export(session.journal, folder / "out", names=True)
    asker = Asker(session)
    asked = {name: answer(asker, sql) for name, sql in READY.items()}
    asker.close()
    session.journal.close()
    yield read(folder / "out", asked)


def answer(asker: Asker, sql: str) -> Rows:
    """What the gym says to a coach who asks it."""
    question = asker.ask(sql)
    assert isinstance(question, Question)
    found = question.wait(60)
    question.stop()
    assert isinstance(found, Table) and not found.more, found
    return list(found.rows)


def read(folder: Path, asked: dict[str, Rows]) -> Reader:
    """By the schema file and the folders' names alone."""
    about = json.loads((folder / "schema.json").read_text(encoding="utf-8"))
    events = pl.read_parquet(folder / "event/**/*.parquet", hive_partitioning=True, try_parse_hive_dates=False)
    people = pl.read_parquet(folder / "person/**/*.parquet", hive_partitioning=True)
    assert events.height == about["rows"]["event"] and set(events["gym"]) == {about["gym"]}
    assert events["month"].n_unique() >= 3
    definitions = pl.read_parquet(folder / "definition/**/*.parquet", hive_partitioning=True).sort("version")
    documents = dict(definitions.select("id", "text").iter_rows())
    return Reader(events, dict(people.select("id", "board").iter_rows()), about["zone"], asked, documents)


def test_every_column_has_the_type_the_schema_names(reader: Reader) -> None:
    types = reader.events.schema
    assert types["load"] == pl.Int32 and types["stack"] == pl.List(pl.String) and types["youth"] == pl.Boolean
    assert types["happened"] == pl.Datetime("us", "UTC") and types["seq"] == pl.Int64


def test_the_same_lifters_missed_reps(reader: Reader) -> None:
    missed = reader.week.filter(pl.col("missed") > 0)
    rows = missed.group_by("name", "lift", "evening", kg("load")).agg(pl.col("reps", "missed").sum())
    reader.same("who missed reps", rows)


def test_the_same_load_was_moved_week_by_week(reader: Reader) -> None:
    rows = reader.sets.group_by(pl.col("evening").dt.truncate("1w").alias("monday"), "name").agg(
        (pl.col("load") * pl.col("reps")).sum().alias("moved"), pl.col("reps").sum()
    )
    reader.same("load moved per lifter", rows.select("monday", "name", "reps", kg("moved")))


def test_the_best_estimated_maximum_is_the_same(reader: Reader) -> None:
    fell = pl.col("grade").is_in(("rough", "broken"))
    good = pl.col("reps").is_between(1, 10) & (pl.col("missed") == 0) & ~fell
    more = pl.when(good & (pl.col("reps") > 1)).then(pl.col("reps") / 30).otherwise(0)
    work = reader.sets.filter((pl.col("role") != "ramp") & (pl.col("reps") > 0))
    told = work.with_columns(good.alias("good"), (pl.col("load") / 100 * (1 + more)).alias("says"))
    rows = told.group_by("name", "lift").agg(pl.col("says").max(), pl.col("good").any()).filter("good").drop("good")
    mine = {(name, lift): estimate for name, lift, estimate in rows.iter_rows()}
    must = {row[:2]: float(row[2]) for row in reader.asked["best estimated maximum"]}
    assert must and mine.keys() == must.keys()
    assert all(abs(mine[key] - must[key]) <= 0.051 for key in must)  # the question rounds to a tenth


def test_the_same_sets_were_watched(reader: Reader) -> None:
    work = reader.week.filter(pl.col("role") != "ramp")
    seen = (pl.col("grade") != "unseen").sum()
    rows = work.group_by("name").agg(pl.len().alias("sets"), seen.alias("watched"))
    must = [row[:3] for row in reader.asked["what nobody watched"]]
    assert must and sorted(map(_plain, rows.rows())) == sorted(map(_plain, must))


def test_the_grades_of_every_evening_are_the_same(reader: Reader) -> None:
    counts = [(pl.col("grade") == g).sum().alias(g) for g in ("sharp", "sound", "rough", "broken")]
    reader.same("grades by evening", reader.sets.filter(pl.col("role") != "ramp").group_by("evening").agg(counts))


def test_the_same_faults_were_seen_in_each_stage(reader: Reader) -> None:
    marks = reader.standing.filter(pl.col("kind").is_in(("fault_seen", "fault_withdrawn")))
    change = pl.when(pl.col("kind") == "fault_seen").then(1).otherwise(-1).sum().alias("stands")
    seen = marks.group_by(*SET, "rep", "fault").agg(change).filter(pl.col("stands") > 0)
    seen = seen.with_columns(pl.col("fault").replace_strict(reader.faults))
    rows = seen.join(reader.sets, SET).group_by("lift", "stage", "fault").agg(
        pl.len(), pl.col("lifter").n_unique().alias("lifters")
    )
    reader.same("faults by lift and stage", rows)


def test_the_same_lifters_have_not_come(reader: Reader) -> None:
    came = (
        reader.standing.filter(pl.col("kind") == "lifter_arrived").join(reader.evenings, "session")
        .group_by("lifter").agg(pl.col("evening").max(), pl.col("session").n_unique())
    )  # fmt: skip
    last = reader.sets["evening"].max()
    assert isinstance(last, date)
    rows = pl.DataFrame({"lifter": list(reader.names)}, schema={"lifter": pl.Int32}).join(came, "lifter", "left")
    away = rows.filter(pl.col("evening").is_null() | (pl.col("evening") <= last - timedelta(days=7)))
    mine = [(reader.names[who], day, count or 0) for who, day, count in away.iter_rows()]
    must = [row[:3] for row in reader.asked["who has not come lately"]]
    assert must and sorted(map(_plain, mine)) == sorted(map(_plain, must))
