"""The whole gym goes out as Parquet and comes back as the same gym, row for row, or not at all."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import duckdb
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from floor.cli import main
from floor.clock import SetClock
from floor.core import commands as c
from floor.core.events import NEEDS, Event
from floor.core.people import NoteAdded, PersonAdded
from floor.journal.comeback import NotAnExport, NotEmpty, bring_back
from floor.journal.errors import JournalError
from floor.journal.export_words import COLUMNS, SAYS
from floor.journal.leaving import CannotExport, types_of, write_export
from floor.journal.log import Journal
from floor.journal.schema import EVENT_COLUMNS, TABLES
from floor.session import Done, Session
from floor.templates import templates
from tests.scenario import EVENING, ZONE, demo_session, everyone_in, lift_on

NOW = datetime(2026, 3, 31, 23, 30, tzinfo=UTC)
"""In the gym's zone it is April already."""


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    """The demo gym in the middle of an evening, with an undo, a note and a kept question."""
    session, clock = demo_session(tmp_path_factory.mktemp("demo"))
    everyone_in(session, clock)
    lift_on(session, clock, 2)
    assert isinstance(session.undo(), Done)
    assert isinstance(session.do(c.AddNote(1), [NoteAdded(1, "caution", "Private words.")]), Done)
    assert isinstance(session.keep_question("mine", "SELECT * FROM sets WHERE lifter = 'Amina'"), Done)
    yield session
    session.journal.close()


@pytest.fixture(scope="module")
def whole(demo: Session, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("exports") / "whole"
    write_export(demo.journal, folder, names=True)
    return folder


def small(path: Path) -> Session:
    """A gym of one lifter, in a zone that is ahead of UTC."""
    clock = SetClock(NOW)
    journal = Journal.open(path, now=NOW, zone="Europe/Berlin", unit="lb", templates=templates(unit="lb"))
    session = Session(journal, clock)
    assert isinstance(session.do(c.JoinLifter(1), [PersonAdded(1, "Oda Invented", "Oda")]), Done)
    return session


def rows(path: Path) -> dict[str, list[tuple[Any, ...]]]:
    with duckdb.connect(str(path), read_only=True) as connection:
        connection.execute("SET TimeZone = 'UTC'")
        return {
            table: connection.execute(f"SELECT * FROM {table} WHERE {which} ORDER BY ALL").fetchall()
            for table, which in dict.fromkeys(TABLES, "true").items() | {("meta", "key <> 'views'")}
        }


def files(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def test_an_export_comes_back_as_the_same_gym_row_for_row(demo: Session, whole: Path, tmp_path: Path) -> None:
    back = bring_back(whole, tmp_path / "back.duckdb")
    assert back.events == demo.journal.head.seq and back.named
    journal = Journal.open(tmp_path / "back.duckdb", now=EVENING, zone="UTC", unit="lb", templates={})
    assert journal.head == demo.journal.head and journal.opening.words == ""
    again = Session(journal, SetClock(EVENING))
    assert again.state == demo.state and again.people == demo.people
    assert again.tonight == Session(demo.journal, SetClock(EVENING)).tonight
    assert again.kept_questions() == demo.kept_questions() != ()
    write_export(journal, tmp_path / "again", names=True)
    journal.close()
    assert files(tmp_path / "again") == files(whole)
    shutil.copyfile(demo.journal.path, tmp_path / "was.duckdb")
    log = demo.journal.path.with_name(demo.journal.path.name + ".wal")
    if log.exists():
        shutil.copyfile(log, tmp_path / "was.duckdb.wal")
    assert rows(tmp_path / "back.duckdb") == rows(tmp_path / "was.duckdb")


def test_what_comes_back_goes_on_where_it_stopped(whole: Path, tmp_path: Path) -> None:
    bring_back(whole, tmp_path / "back.duckdb")
    assert (tmp_path / "back.duckdb").stat().st_mode & 0o777 == 0o600, "it may hold names and notes"
    journal = Journal.open(tmp_path / "back.duckdb", now=EVENING, zone="UTC", unit="kg", templates={})
    session = Session(journal, SetClock(EVENING))
    words = session.undo()
    assert isinstance(words, Done) and words.words.startswith("Undone: note added")
    journal.close()
    Journal.open(tmp_path / "back.duckdb", now=EVENING, zone="UTC", unit="kg", templates={}).close()


def test_without_names_nothing_in_the_export_says_who_anybody_is(demo: Session, tmp_path: Path) -> None:
    write_export(demo.journal, tmp_path / "out", names=False)
    told = [word for p in demo.people.values() for word in (p.name, p.board) if len(word) > 4] + ["Private words"]
    for path in (tmp_path / "out").rglob("*"):
        if path.suffix == ".parquet":
            text = str(pq.ParquetFile(path).read().to_pylist())
            assert [word for word in told if word in text] == [], path
        elif path.is_file():
            assert [word for word in told if word in path.read_text(encoding="utf-8")] == []
    back = bring_back(tmp_path / "out", tmp_path / "back.duckdb")
    journal = Journal.open(tmp_path / "back.duckdb", now=EVENING, zone="UTC", unit="kg", templates={})
    again = Session(journal, SetClock(EVENING))
    assert not back.named and again.names[1] == "Lifter 1" and again.state == demo.state
    journal.close()


def test_the_months_are_those_where_the_gym_stands(tmp_path: Path) -> None:
    session = small(tmp_path / "gym.duckdb")
    write_export(session.journal, tmp_path / "out", names=True)
    session.journal.close()
    assert [p.name for p in (tmp_path / "out/event").glob("gym=*/*")] == ["month=2026-04"]


def test_the_schema_names_the_unit_and_has_a_sentence_for_every_column(tmp_path: Path) -> None:
    session = small(tmp_path / "gym.duckdb")
    write_export(session.journal, tmp_path / "out", names=True)
    session.journal.close()
    about = json.loads((tmp_path / "out/schema.json").read_text(encoding="utf-8"))
    assert about["unit"] == "lb" and set(about["tables"]) == set(TABLES) and set(about["kinds"]) == set(NEEDS)
    event = about["tables"]["event"]["columns"]
    assert [x["name"] for x in event] == list(EVENT_COLUMNS)
    assert next(x for x in event if x["name"] == "load")["unit"] == "0.01 lb"
    path = next((tmp_path / "out/event").rglob("*.parquet"))
    written = pq.read_schema(path)
    assert {x["name"]: x["type"] for x in event} == {f.name: str(f.type) for f in written}
    assert written.field("load").metadata[b"unit"] == b"0.01 lb"


@pytest.mark.parametrize("table", SAYS)
def test_every_column_is_told_in_one_sentence(table: str) -> None:
    assert [column.name for column in COLUMNS[table]] == list(types_of(table))
    assert all(column.says[0].isupper() and column.says.endswith(".") for column in COLUMNS[table])


def refused(folder: Path, path: Path, kind: type[JournalError] = NotAnExport) -> str:
    before = path.read_bytes() if path.exists() else None
    with pytest.raises(kind) as told:
        bring_back(folder, path)
    assert (path.read_bytes() if path.exists() else None) == before
    assert [p.name for p in path.parent.glob(f"{path.name}.*") if not p.name.endswith(".tail")] == []
    words = str(told.value)
    assert "\n" not in words and words.endswith("Nothing was changed.")
    return words


def test_a_gym_that_holds_something_is_never_replaced(whole: Path, tmp_path: Path) -> None:
    small(tmp_path / "gym.duckdb").journal.close()
    assert "holds a gym already" in refused(whole, tmp_path / "gym.duckdb", NotEmpty)
    unused = Journal.open(tmp_path / "new.duckdb", now=NOW, zone=ZONE, unit="kg", templates=templates())
    unused.close()
    assert bring_back(whole, tmp_path / "new.duckdb").events > 0
    Journal.open(tmp_path / "new.duckdb", now=NOW, zone=ZONE, unit="kg", templates={}).close()


def test_what_is_no_export_or_not_a_whole_one_is_refused(whole: Path, tmp_path: Path) -> None:
    gym = tmp_path / "gym.duckdb"
    (tmp_path / "empty").mkdir()
    assert "schema.json is missing" in refused(tmp_path / "empty", gym)
    for name, change in {
        "newer": ("\"version\": 1", "\"version\": 2"), "later": ("\"schema\": 1", "\"schema\": 99"),
        "other": ("floor export", "something"), "torn": ("{", ""), "shape": ("\"last\"", "\"lost\""),
    }.items():  # fmt: skip
        folder = tmp_path / name
        shutil.copytree(whole, folder)
        text = (folder / "schema.json").read_text(encoding="utf-8")
        (folder / "schema.json").write_text(text.replace(*change, 1), encoding="utf-8")
        words = refused(folder, gym)
        assert ("newer version" in words) == (name in ("newer", "later")), words
    folder = tmp_path / "cut"
    shutil.copytree(whole, folder)
    part = sorted((folder / "event").rglob("*.parquet"))[0]
    part.write_bytes(part.read_bytes()[:-9])
    assert "is not what was written" in refused(folder, gym)
    part.unlink()
    assert "is missing" in refused(folder, gym)


def test_a_row_changed_by_somebody_is_found_though_the_digests_were_made_to_fit(whole: Path, tmp_path: Path) -> None:
    from floor.journal.leaving import digest

    folder = tmp_path / "changed"
    shutil.copytree(whole, folder)
    part = sorted((folder / "event").rglob("*.parquet"))[1]
    table = pq.ParquetFile(part).read()
    at = next(i for i, load in enumerate(table["load"].to_pylist()) if load)
    loads = table["load"].to_pylist()
    loads[at] += 250
    at_load = table.column_names.index("load")
    changed = table.set_column(at_load, table.schema.field("load"), pa.array(loads, pa.int32()))
    pq.write_table(changed, part, compression="zstd")
    about = json.loads((folder / "schema.json").read_text(encoding="utf-8"))
    about["files"][part.relative_to(folder).as_posix()] = digest(part)
    (folder / "schema.json").write_text(json.dumps(about), encoding="utf-8")
    assert f"event {table['seq'][at].as_py()} is not what was written" in refused(folder, tmp_path / "gym.duckdb")


def test_an_export_never_writes_over_anything(demo: Session, tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out/mine.txt").write_text("mine")
    with pytest.raises(CannotExport, match="name a new folder"):
        write_export(demo.journal, tmp_path / "out", names=True)
    assert [p.name for p in tmp_path.iterdir()] == ["out"] and (tmp_path / "out/mine.txt").read_text() == "mine"


def test_the_shell_takes_a_gym_out_and_back(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    session = small(tmp_path / "gym.duckdb")
    session.journal.append([Event(kind="note_added", happened=NOW, lifter=1)])
    session.journal.close()
    gym, out = str(tmp_path / "gym.duckdb"), str(tmp_path / "out")
    assert main(["export", out, "--gym", gym]) == 0
    assert "Names, notes and kept questions are left out" in capsys.readouterr().out
    assert main(["import", out, "--gym", gym]) == 1
    assert "holds a gym already" in capsys.readouterr().err
    assert main(["import", out, "--gym", str(tmp_path / "back.duckdb")]) == 0
    assert "held no names" in capsys.readouterr().out
    assert main(["export", out, "--gym", str(tmp_path / "none.duckdb")]) == 1


def test_an_export_takes_nothing_of_the_coachs_away(tmp_path: Path) -> None:
    session = small(tmp_path / "gym.duckdb")
    beside = tmp_path / "out.writing"
    beside.mkdir()
    (beside / "mine.txt").write_text("mine")
    write_export(session.journal, tmp_path / "out", names=False)
    session.journal.close()
    assert (beside / "mine.txt").read_text() == "mine"
    assert sorted(p.name for p in tmp_path.iterdir() if p.is_dir()) == ["out", "out.writing"]


def test_an_export_goes_into_the_empty_folder_one_stands_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    session = small(tmp_path / "gym.duckdb")
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    write_export(session.journal, Path("."), names=True)
    session.journal.close()
    found = sorted(p.name for p in (tmp_path / "here").iterdir())
    assert found == ["definition", "event", "meta", "person", "schema.json"]
    assert bring_back(tmp_path / "here", tmp_path / "again.duckdb").people == 1
    with pytest.raises(CannotExport, match="already"):
        write_export(session.journal, Path("."), names=True)
