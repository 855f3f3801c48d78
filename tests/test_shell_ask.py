"""`floor ask`: an aligned table, CSV, JSON or Parquet; a refusal on the standard error and nothing changed."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from pathlib import Path

import pyarrow.parquet as pq
import pytest

from floor.background import Column, Table
from floor.core import commands as c
from floor.shell_ask import table_lines
from tests.tui.house import check_in, done, open_session

TOP = Path(__file__).parent.parent


@pytest.fixture(scope="module")
def gym(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("gym")
    session = open_session(folder)
    check_in(session, 1)
    for command in (c.StartSet(1), c.AllMade(1), c.EndSet(1)):
        done(session, command)
    session.journal.close()
    return folder / "gym.duckdb"


REPS = 10
"""Of the first ramp set of the day."""


def ask(gym: Path, *words: str, typed: str = "") -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "floor", "ask", *words, "--gym", str(gym)],
        cwd=TOP, input=typed, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip


def test_a_table_stands_in_columns_with_numbers_right_and_units_on_top(gym: Path) -> None:
    told = ask(gym, "SELECT lifter, load, made FROM sets")
    assert told.returncode == 0
    head, rule, row = told.stdout.splitlines()
    assert head == "lifter  load (kg)  made (reps)" and set(rule) == {"-", " "}
    assert row.startswith("Ada") and row.endswith(f"   {REPS}") and len(row) == len(head)
    assert told.stderr == "1 row\n"


def test_csv_and_json_go_out_whole_and_alone(gym: Path) -> None:
    told = ask(gym, "SELECT range AS n FROM range(3000)", "--csv")
    assert len(list(csv.reader(io.StringIO(told.stdout)))) == 3001 and told.stderr == ""
    assert json.loads(ask(gym, "SELECT lifter, made FROM sets", "--json").stdout) == [{"lifter": "Ada", "made": REPS}]


def test_parquet_goes_into_a_new_file_and_never_over_another(gym: Path, tmp_path: Path) -> None:
    file = tmp_path / "a.parquet"
    assert ask(gym, "FROM sets", "--parquet", str(file)).returncode == 0
    assert pq.read_table(file).num_rows == 1
    again = ask(gym, "SELECT 1", "--parquet", str(file))
    assert again.returncode == 1 and "already" in again.stderr
    assert pq.read_table(file).num_rows == 1
    assert ask(gym, "SELECT 1", "--parquet", str(tmp_path / "a.csv")).returncode == 1


def test_a_question_is_asked_by_its_name_the_kept_one_before_a_ready_one(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    session.keep_question("Last seen", "SELECT 7 AS seven")
    session.keep_question("who missed reps", "SELECT 8 AS mine")
    session.journal.close()
    gym = tmp_path / "gym.duckdb"
    told = ask(gym, "last seen")
    assert told.stdout.split() == ["seven", "-----", "7"] and told.stderr.splitlines()[0] == "Last seen:"
    assert ask(gym, "who missed reps ", "--json").stdout == ask(gym, "SELECT 8 AS mine", "--json").stdout
    ready = ask(gym, "Who has not come lately")
    assert ready.returncode == 0 and ready.stdout.startswith("lifter  last_came")


def test_what_is_neither_sql_nor_a_name_is_told_with_the_names_there_are(gym: Path) -> None:
    near = ask(gym, "who mised reps")
    assert near.returncode == 1 and 'Did you mean "who missed reps"?' in near.stderr and near.stdout == ""
    far = ask(gym, "last seen")
    assert far.returncode == 1 and "nor the name of a question. The names: who missed reps · " in far.stderr
    assert "Did you mean select?" in ask(gym, "SELEC 1").stderr, "SQL all but written is told as SQL"


def test_a_question_comes_from_the_input_as_well(gym: Path) -> None:
    assert ask(gym, "-", typed="SELECT 7 AS seven").stdout.split() == ["seven", "-----", "7"]


@pytest.mark.parametrize(
    ("sql", "words"),
    [
        ("SELECT lod FROM sets", "Did you mean load?\nSELECT lod FROM sets\n       ^"),
        ("DROP TABLE sets", "Only a SELECT can be asked here"),
        ("SELECT * FROM read_text('/etc/hostname')", "can't reach files"),
        ("SELECT 1; SELECT 2", "one question at a time"),
    ],
)
def test_a_refusal_is_told_and_the_gym_stays_as_it_was(gym: Path, sql: str, words: str) -> None:
    told = ask(gym, sql)
    assert told.returncode == 1 and told.stdout == "" and words in told.stderr
    assert ask(gym, "SELECT count(*) AS n FROM sets").stdout.split()[-1] == "1"


def test_no_gym_is_made_by_asking(tmp_path: Path) -> None:
    told = ask(tmp_path / "none.duckdb", "SELECT 1")
    assert told.returncode == 1 and "no gym file" in told.stderr
    assert list(tmp_path.iterdir()) == []


def test_wide_letters_keep_the_columns_in_line() -> None:
    table = Table((Column("name", "VARCHAR"), Column("n", "INTEGER")), (("力", 1), ("Ada", 20)), False)
    assert table_lines(table, "kg")[2:] == ["力     1", "Ada   20"]


def test_a_reader_that_has_seen_enough_ends_it_quietly(gym: Path) -> None:
    piped = f"{sys.executable} -m floor ask 'SELECT range AS n FROM range(300000)' --csv --gym {gym} | head -1"
    told = subprocess.run(piped, shell=True, cwd=TOP, capture_output=True, text=True, timeout=60, check=False)
    assert (told.stdout.strip(), told.stderr) == ("n", "")


def test_a_table_whose_reader_is_gone_ends_quietly(gym: Path) -> None:
    piped = f"{sys.executable} -m floor ask 'SELECT range AS n FROM range(1000)' --gym {gym} | true"
    told = subprocess.run(piped, shell=True, cwd=TOP, capture_output=True, text=True, timeout=60, check=False)
    assert "Traceback" not in told.stderr and "Broken" not in told.stderr


def test_parquet_into_nobodys_home_is_one_sentence(gym: Path) -> None:
    told = ask(gym, "SELECT 1 AS one", "--parquet", "~nosuchuser/answer.parquet")
    assert told.returncode == 1 and "nobody's home" in told.stderr and "Traceback" not in told.stderr
