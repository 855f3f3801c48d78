"""What the database says of a wrong question, in a coach's words."""

from __future__ import annotations

import duckdb
import pytest

from floor.completing import Names, refusal_words
from floor.journal.refusing import refusal

TABLES = "CREATE TABLE sets (lifter VARCHAR, load INTEGER, grade VARCHAR); CREATE TABLE reps (lifter VARCHAR)"


def told(sql: str) -> str:
    """The refusal of a question as the coach reads it."""
    with duckdb.connect() as connection:
        connection.execute(TABLES)
        connection.execute("SET errors_as_json = true")
        with pytest.raises(duckdb.Error) as error:
            connection.execute(sql)
    words = refusal(error.value, sql, 10)
    return refusal_words(words["error"], sql, words["place"], Names(("Ada",)))


@pytest.mark.parametrize(
    ("sql", "words"),
    [
        ("SELECT lifter, count(*) FROM sets GROUP lifter", "GROUP wants BY after it: GROUP BY lifter."),
        ("SELECT * FROM sets order load", "ORDER wants BY after it: ORDER BY load."),
        ("SELECT * FROM sets ORDER", "ORDER wants BY after it, and a column."),
        ("SELECT * FROM sets WHERE load > 50kg", "A number stands without a unit: 50."),
        ("SELECT * FROM sets WHERE load > 62.5 kg", "A number stands without a unit: 62.5."),
        (
            "SELECT lifter, max(load) FROM sets",
            'Rows are put together here: put "lifter" after GROUP BY too, or ask for one of it, as in max(lifter).',
        ),
        (
            "SELECT lifter FROM sets AS s, reps AS r",
            '"lifter" is in more than one of these tables: write s.lifter or r.lifter.',
        ),
    ],
)
def test_a_wrong_question_is_told_in_plain_words(sql: str, words: str) -> None:
    assert told(sql) == words


@pytest.mark.parametrize(
    "sql", ["SELECT 1 +", "SELECT * FROM sets GROUP BY lifter ORDER BY ORDER", "SELECT 2 3 FROM sets", "SELECT (1"]
)
def test_no_word_is_said_of_a_grade_or_a_unit_where_none_is_meant(sql: str) -> None:
    assert "grade" not in told(sql) and "unit" not in told(sql)
