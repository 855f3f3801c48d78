"""An answer that is kept: every page, sorted by any column, and the whole of it as a file."""

from __future__ import annotations

import csv
import io
import json
import os
import signal
from collections.abc import Callable, Iterator
from pathlib import Path

import pyarrow as pa
import pyarrow.ipc
import pyarrow.parquet as pq
import pytest

from floor import background
from floor.background import DIED, Question, Refused, Saved, Table
from floor.core.people import PersonAdded
from floor.journal.held import COLUMNS
from floor.journal.snapshot import snapshot
from tests.journal.helpers import append_each, joined, open_gym, opened, planned, started

Ask = Callable[..., Question]
TYPED = (
    "SELECT 1::TINYINT AS a, 2.50::DECIMAL(9,2) AS b, 'é,\"x' AS c, DATE '2026-03-02' AS d, "
    "TIMESTAMP '2026-03-02 18:01:40' AS e, true AS f, 1.5::DOUBLE AS g, 12::HUGEINT AS h, [1, 2] AS i, "
    "INTERVAL 90 SECOND AS j, NULL::INTEGER AS k"
)


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    journal = open_gym(tmp_path_factory.mktemp("gym") / "a.gym")
    journal.append([joined(7)], [PersonAdded(7, "Ada Example", "Ada")])
    append_each(journal, [opened(), planned(7, 1, 6250), started(7, 1, 6250, 100)])
    yield snapshot(journal, tmp_path_factory.mktemp("questions"))
    journal.close()


@pytest.fixture
def ask(copy: Path) -> Iterator[Ask]:
    """A question whose answer is kept until the test is over."""
    asked: list[Question] = []

    def start(sql: str, limit: int = 1000) -> Question:
        asked.append(Question.start(copy, sql, limit, 20, keep=True))
        asked[-1].wait(60)
        return asked[-1]

    yield start
    for question in asked:
        question.stop()


def table(answer: object) -> Table:
    assert isinstance(answer, Table), answer
    return answer


def saved(question: Question, kind: str, **order: object) -> bytes:
    out = io.BytesIO()
    answer = question.save(kind, out.write, **order)  # type: ignore[arg-type]
    assert isinstance(answer, Saved), answer
    return out.getvalue()


def test_a_hundred_thousand_rows_are_held_and_any_page_of_them_is_had(ask: Ask) -> None:
    question = ask("SELECT range AS n FROM range(100000)")
    first = table(question.poll())
    assert (len(first.rows), first.first, first.total, first.more) == (1000, 0, 100_000, False)
    page = table(question.page(99_500, 1000))
    assert (page.rows[0], page.rows[-1], len(page.rows)) == ((99_500,), (99_999,), 500)


def test_sorting_is_over_all_rows_and_no_value_comes_last_either_way(ask: Ask) -> None:
    question = ask("SELECT CASE WHEN range % 3 > 0 THEN range END AS n, 'x' || range AS w FROM range(3000)")
    up, down = (table(question.page(0, 2, 0, turned)) for turned in (False, True))
    assert [row[0] for row in up.rows] == [1, 2]
    assert [row[0] for row in down.rows] == [2999, 2998]
    last = table(question.page(2999, 1, 0, True))
    assert last.rows[0][0] is None
    assert table(question.page(0, 2)).rows == ((None, "x0"), (1, "x1"))


def test_decimals_are_sorted_as_numbers_and_not_as_words(ask: Ask) -> None:
    question = ask("SELECT unnest([100.50, 9.25, 20.00])::DECIMAL(9,2) AS load")
    assert [row[0] for row in table(question.page(0, 9, 0)).rows] == ["9.25", "20.00", "100.50"]


def test_a_column_that_has_no_order_is_sorted_by_its_words(ask: Ask) -> None:
    question = ask("SELECT unnest([{'a': 2}, {'a': 1}]) AS s")
    assert [row[0] for row in table(question.page(0, 9, 0)).rows] == ["{'a': 1}", "{'a': 2}"]


@pytest.mark.parametrize(
    ("values", "told"),
    [
        ("[INTERVAL 10 DAY, INTERVAL 9 DAY, INTERVAL 90 MINUTE]", ["01:30:00", "9 days", "10 days"]),
        ("[[10], [9], [9, 1], [NULL]]", ["[9]", "[9, 1]", "[10]", "[NULL]"]),
        ("[{'a': 10, 'b': 1}, {'a': 9, 'b': 2}]", ["{'a': 9, 'b': 2}", "{'a': 10, 'b': 1}"]),
        ("[[{'a': 10}], [{'a': 9}]]", ["[{'a': 9}]", "[{'a': 10}]"]),
        (
            "[DATE '12000-01-01', DATE '2026-01-01', DATE '0044-03-15 (BC)']",
            ["0044-03-15 (BC)", "2026-01-01", "12000-01-01"],
        ),
    ],
)
def test_what_has_an_order_of_its_own_is_sorted_and_saved_in_it(ask: Ask, values: str, told: list[str]) -> None:
    question = ask(f"SELECT unnest({values}) AS v")
    assert [row[0] for row in table(question.page(0, 9, 0)).rows] == told
    lines = list(csv.reader(io.StringIO(saved(question, "csv", sort=0, descending=True).decode())))
    assert [line[0] for line in lines[1:]] == told[::-1]


def test_days_a_file_cannot_hold_go_into_it_as_text_and_it_is_told(ask: Ask) -> None:
    question = ask("SELECT unnest([DATE 'infinity', DATE '12000-01-01', DATE '2026-01-01', NULL]) AS day, 1 AS n")
    assert [row[0] for row in table(question.poll()).rows] == ["infinity", "12000-01-01", "2026-01-01", None]
    for kind in ("parquet", "arrow"):
        out = io.BytesIO()
        assert question.save(kind, out.write) == Saved(4, "As text, with days no file of this kind can hold: day.")
        found = pq.read_table(out) if kind == "parquet" else pa.ipc.open_file(out).read_all()
        assert found.column("day").to_pylist() == ["infinity", "12000-01-01", "2026-01-01", None]


def test_text_that_a_spreadsheet_would_work_out_is_saved_as_it_is(ask: Ask) -> None:
    assert saved(ask("SELECT '=1+1' AS a, true AS b"), "csv").decode().split() == ["a,b", "=1+1,true"]


def test_a_saved_parquet_file_has_the_types_of_the_answer(ask: Ask) -> None:
    found = pq.read_table(io.BytesIO(saved(ask(TYPED), "parquet")))
    assert [str(f.type) for f in found.schema] == [
        "int8", "decimal128(9, 2)", "string", "date32[day]", "timestamp[us]", "bool", "double", "decimal128(38, 0)",
        "string", "string", "int32",
    ]  # fmt: skip
    row = found.to_pylist()[0]
    assert (str(row["b"]), row["c"], row["d"].isoformat(), row["k"]) == ("2.50", 'é,"x', "2026-03-02", None)


def test_a_saved_arrow_file_reads_back_the_same(ask: Ask) -> None:
    question = ask(TYPED)
    arrow = pa.ipc.open_file(io.BytesIO(saved(question, "arrow"))).read_all()
    assert arrow.to_pylist() == pq.read_table(io.BytesIO(saved(question, "parquet"))).to_pylist()


def test_a_saved_csv_has_every_row_in_the_order_on_show(ask: Ask) -> None:
    question = ask("SELECT range AS n, 'a, \"b\"' AS w FROM range(2500)", 10)
    rows = list(csv.reader(io.StringIO(saved(question, "csv", sort=0, descending=True).decode())))
    assert rows[0] == ["n", "w"] and rows[1] == ["2499", 'a, "b"'] and len(rows) == 2501


def test_json_is_one_object_a_row_with_exact_numbers(ask: Ask) -> None:
    found = json.loads(saved(ask("SELECT 2.50::DECIMAL(9,2) AS load, 'x' AS load, NULL AS n"), "json"))
    assert found == [{"load": 2.5, "load_2": "x", "n": None}]


def test_an_answer_without_rows_is_saved_with_its_columns(ask: Ask) -> None:
    question = ask("SELECT lifter, load FROM sets WHERE false")
    assert pq.read_table(io.BytesIO(saved(question, "parquet"))).column_names == ["lifter", "load"]
    assert json.loads(saved(question, "json")) == []


def test_whole_numbers_too_long_for_a_file_are_saved_as_words(ask: Ask) -> None:
    question = ask("SELECT 170141183460469231731687303715884105727::HUGEINT AS n")
    assert pq.read_table(io.BytesIO(saved(question, "parquet"))).to_pylist() == [
        {"n": "170141183460469231731687303715884105727"}
    ]


def test_a_file_that_cannot_be_written_stops_the_child(ask: Ask) -> None:
    question = ask("SELECT * FROM range(50000)")

    def full(data: bytes) -> int:
        raise OSError("no room")

    with pytest.raises(OSError, match="no room"):
        question.save("csv", full)
    assert question.ended and question.page(0, 1) == DIED


def test_the_child_ends_when_it_is_stopped_and_keeps_the_first_page(ask: Ask) -> None:
    question = ask("SELECT 1 AS one")
    assert not question.ended
    question.stop()
    assert question.ended and table(question.poll()).rows == ((1,),)
    assert question.page(0, 1) == DIED


def test_a_refused_question_keeps_no_child(ask: Ask) -> None:
    question = ask("DROP TABLE sets")
    assert isinstance(question.poll(), Refused)
    question._process.wait(10)
    assert question.ended


def test_more_columns_than_a_screen_can_show_are_cut_and_counted_but_saved(ask: Ask) -> None:
    question = ask("SELECT " + ", ".join(f"{n} AS c{n}" for n in range(500)))
    answer = table(question.poll())
    assert (len(answer.columns), len(answer.rows[0]), answer.wide) == (COLUMNS, COLUMNS, 500)
    assert pq.read_table(io.BytesIO(saved(question, "parquet"))).num_columns == 500


def test_a_page_of_long_values_ends_before_it_is_too_large_and_the_next_goes_on(ask: Ask) -> None:
    question = ask("SELECT repeat('x', 4000) AS x FROM range(3000)", 3000)
    first = table(question.poll())
    assert 900 < len(first.rows) <= 1000 and first.total == 3000
    assert len(table(question.page(len(first.rows), 3000)).rows) > 900


def test_an_answer_is_sorted_any_number_of_times(ask: Ask) -> None:
    question = ask("SELECT range AS n FROM range(20)")
    for n in range(500):
        assert table(question.page(0, 1, 0, n % 2 == 0)).rows == ((19 if n % 2 == 0 else 0,),), n


def test_an_answer_that_was_saved_in_every_kind_is_still_there_to_be_sorted(ask: Ask) -> None:
    question = ask("SELECT lifter, range AS n FROM sets, range(50)")
    for kind in ("csv", "json", "parquet", "arrow"):
        saved(question, kind)
    for n in range(20):
        table(question.page(0, 10, 1, n % 2 == 0))


@pytest.mark.skipif(os.name != "posix", reason="a process is halted by a signal")
def test_a_child_that_does_not_look_at_its_time_is_ended_from_outside(
    copy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(background, "GRACE", 0.5)
    question = Question.start(copy, "SELECT 1", seconds=0.5)
    os.kill(question._process.pid, signal.SIGSTOP)
    assert question.wait(30) == Refused("That took longer than 0.5 seconds and was stopped.")
    assert question._process.wait(10) is not None
