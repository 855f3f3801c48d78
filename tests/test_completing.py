"""Completion knows the tables, the columns of those in use, and this gym's names."""

from __future__ import annotations

import difflib

import pytest

from floor.completing import COMPARED, EVERYDAY, Names, gym_names, misspelt, refusal_words, rest_of_word
from floor.tables import VIEWS
from tests.core.scenes import gym
from tests.ending import ends

NAMES = Names(("Ada", "M.H.", "squat", "arms-bent-early", "sharp"))


@pytest.mark.parametrize(
    ("before", "rest"),
    [
        ("sel", "ect"),
        ("SEL", "ECT"),
        ("SELECT * FROM pro", "posals"),
        ("SELECT * FROM sets AS s WHERE s.mi", "ssed"),
        ("SELECT * FROM sets AS s WHERE s.", "session"),
        ("SELECT sets.pl", "anned"),
        ("SELECT * FROM plans WHERE rep", "s"),
        ("SELECT * FROM plans WHERE repe", "ats"),
        ("SELECT * FROM sets WHERE lift = 's", "quat'"),
        ("SELECT * FROM sets WHERE lifter = 'm", ".H.'"),
        ("SELECT * FROM faults WHERE fault = 'arms", "-bent-early'"),
        ("SELECT * FROM sets WHERE lift = 'squat' AND gra", "de"),
        ("-- who is se", ""),
        ("SELECT * FROM sets", ""),
        ("SELECT x", ""),
        ("", ""),
    ],
)
def test_the_rest_of_a_word(before: str, rest: str) -> None:
    assert rest_of_word(before, "", NAMES) == rest


def test_columns_of_the_table_in_use_come_before_all_others() -> None:
    assert rest_of_word("SELECT pla", "\nFROM changes", NAMES) == "tes_off"
    assert rest_of_word("SELECT pla", "\nFROM rests", NAMES) == "nned"


def test_nothing_is_offered_in_the_middle_of_a_word_and_no_second_quote() -> None:
    assert rest_of_word("SELECT * FROM se", "ts", NAMES) == ""
    assert rest_of_word("SELECT * FROM sets WHERE lift = 'sq", "'", NAMES) == "uat"


def test_a_quote_in_a_comment_opens_nothing() -> None:
    assert rest_of_word("-- the coach's\nSELECT * FROM we", "", NAMES) == "ek"


COLUMN = 'Referenced column "{}" not found in FROM clause! Candidate bindings: "load", "lift".'
TABLE = "Table with name {} does not exist! Did you mean \"sqlite_master\"?"


@pytest.mark.parametrize(
    ("sql", "wrong", "told"),
    [
        ("SELECT lod FROM sets", "lod", 'There is no column "lod" here. Did you mean load?'),
        ("SELECT set FROM sets", "set", 'There is no column "set" here. Did you mean set_no?'),
        ("SELECT 1 FROM sets WHERE lift = squat", "squat", "Text stands in single quotes: 'squat'."),
        ('SELECT 1 FROM sets WHERE lifter = "ada"', '"ada"', "Text stands in single quotes: 'Ada'."),
    ],
)
def test_a_wrong_column_is_told_with_the_one_that_was_meant(sql: str, wrong: str, told: str) -> None:
    sentence = COLUMN.format(wrong.strip('"'))
    assert refusal_words(sentence, sql, sql.index(wrong), NAMES).endswith(told)


def test_a_column_of_another_table_is_not_what_was_meant() -> None:
    told = refusal_words(COLUMN.format("overuled"), "SELECT load, overuled FROM sets", 13, NAMES)
    assert "Did you mean" not in told and "sets has session, evening, lifter, lift, set_no" in told


@pytest.mark.parametrize(
    ("word", "table", "meant"),
    [
        ("weight", "sets", "load"), ("Weight", "sets", "load"), ("kg", "sets", "load"), ("kg", "loads", "top"),
        ("weight", "week", "best_load"), ("exercise", "sets", "lift"), ("athlete", "sets", "lifter"),
        ("name", "sets", "lifter"), ("names", "people", "lifter"), ("date", "sets", "evening"),
        ("day", "people", "last_came"), ("reps", "sets", "made"), ("wieght", "sets", "load"),
    ],
)  # fmt: skip
def test_an_everyday_word_is_told_with_the_column_that_was_meant(word: str, table: str, meant: str) -> None:
    told = refusal_words(COLUMN.format(word), f"SELECT {word} FROM {table}", 7, NAMES)
    assert told == f'There is no column "{word}" here. Did you mean {meant}?'


def test_every_everyday_word_stands_for_a_column_there_is() -> None:
    columns = {meaning.name for view in VIEWS for meaning in view.meanings}
    assert {column for meant in EVERYDAY.values() for column in meant} <= columns


@pytest.mark.parametrize("word", ["week", "weeks"])
def test_a_table_where_a_column_stands_is_named_as_a_table(word: str) -> None:
    told = refusal_words(COLUMN.format(word), f"SELECT {word} FROM sets", 7, NAMES)
    assert told.endswith("week is a table: it stands after FROM.")


def test_a_lifters_name_all_but_right_is_told_with_its_quotes() -> None:
    told = refusal_words(COLUMN.format("Aad"), "SELECT 1 FROM sets WHERE lifter = Aad", 34, NAMES)
    assert told.endswith("Did you mean 'Ada'? Text stands in single quotes.")


SYNTAX = 'Syntax error at or near "{}".'


@pytest.mark.parametrize(
    ("sql", "near", "meant"),
    [
        ("SELECT * FROM sets WEHRE made > 1", "made", "where"), ("SELECT * FORM sets", "sets", "from"),
        ("SELEC * FROM sets", "SELEC", "select"), ("SELECT 1 FROM sets WHERE made > 3 ADN load > 3", "ADN", "and"),
        ("SELECT lift FROM sets GRUOP BY lift", "BY", "group"),
        ("SELECT 1 FROM sets ORDER BY load DECS", "DECS", "desc"),
    ],
)  # fmt: skip
def test_a_word_of_sql_is_meant_where_it_is_all_but_written(sql: str, near: str, meant: str) -> None:
    told = refusal_words(SYNTAX.format(near), sql, sql.rindex(near), NAMES)
    assert told == f"{SYNTAX.format(near)} Did you mean {meant}?"


@pytest.mark.parametrize("sql", ["last seen", "who stalled", "SELECT made, FROM sets"])
def test_no_word_of_sql_is_guessed_where_none_was_meant(sql: str) -> None:
    assert "Did you mean" not in refusal_words(SYNTAX.format("x"), sql, 0, NAMES)


@pytest.mark.parametrize(
    ("sql", "told"),
    [
        ("SELECT sum(made FROM sets", "A ( is not closed: sum( …"),
        ("SELECT 1 FROM sets WHERE (made > 1 GROUP BY lift", "A ( is not closed."),
        ("SELECT sum(made)) FROM sets", "A ) has no ( before it."),
        ("SELECT round(sum(made), 1 FROM sets -- (or so)", "A ( is not closed: round( …"),
    ],
)
def test_a_bracket_left_open_is_named(sql: str, told: str) -> None:
    assert refusal_words(SYNTAX.format("FROM"), sql, sql.index("FROM"), NAMES).endswith(f'"FROM". {told}')


def test_a_bracket_in_quotes_opens_nothing() -> None:
    assert refusal_words(SYNTAX.format("x"), "SELECT '(' x y FROM sets", 13, NAMES) == SYNTAX.format("x")


@pytest.mark.parametrize(
    ("table", "told"), [("set", "Did you mean sets?"), ("lifter", "The tables are sets, reps, faults")]
)
def test_after_from_only_a_table_is_meant(table: str, told: str) -> None:
    words = refusal_words(TABLE.format(table), f"SELECT * FROM {table}", 14, NAMES)
    assert words.startswith(f'There is no table "{table}". {told}')


def test_a_refusal_about_no_place_is_left_as_it_is_but_for_a_long_list() -> None:
    assert refusal_words("There is no question here.", "", None, NAMES) == "There is no question here."
    long = "No function matches 'sum(VARCHAR)'. Candidate functions: sum(arg DECIMAL) -> DECIMAL."
    assert refusal_words(long, "SELECT sum(lift) FROM sets", 7, NAMES) == "No function matches 'sum(VARCHAR)'."


def test_a_quoted_name_that_is_nobodys_is_told_with_the_one_like_it() -> None:
    assert "there is 'squat'" in misspelt("SELECT 1 WHERE lift = 'sqaut'", NAMES)
    assert misspelt("SELECT 1 WHERE lifter = 'ada'", NAMES) == "'ada' is written 'Ada' here"
    assert misspelt("SELECT 1 WHERE lifter = 'Ada' AND lift = 'zzz'", NAMES) == ""


APOSTROPHE = Names(("O'Hara", "Mara", "squat"))


def test_what_a_lift_is_called_on_the_screens_is_known() -> None:
    names = gym_names(gym(), ["Ada"])
    assert misspelt("SELECT 1 WHERE lift = 'Bench press'", names) == "'Bench press' is written 'bench' here"
    said = misspelt("SELECT 1 WHERE fault = 'arms bent early'", names)
    assert said == "'arms bent early' is written 'arms-bent-early' here"


def test_a_name_with_an_apostrophe_is_completed_as_sql_writes_it() -> None:
    start = "SELECT * FROM sets WHERE lifter = '"
    for typed, rest in (("O", "''Hara'"), ("O''H", "ara'"), ("o''", "Hara'"), ("M", "ara'")):
        assert rest_of_word(start + typed, "", APOSTROPHE) == rest
    assert rest_of_word(start + "O''Hara' AND lift = 's", "", APOSTROPHE) == "quat'"
    assert rest_of_word(start + "Mara' AND lo", "", APOSTROPHE) == "ad"


def test_a_name_with_an_apostrophe_that_is_there_is_not_called_nobody() -> None:
    ask = "SELECT * FROM sets WHERE lifter = '{}' AND load > 900"
    assert misspelt(ask.format("O''Hara"), APOSTROPHE) == ""
    assert misspelt(ask.format("O''Hera"), APOSTROPHE) == "'O''Hera' is nobody and nothing here; there is 'O''Hara'"


def test_a_name_with_an_apostrophe_in_double_quotes_is_told_as_text() -> None:
    sql = 'SELECT * FROM sets WHERE lifter = "O\'Hara"'
    told = refusal_words('Referenced column "O\'Hara" not found in FROM clause.', sql, sql.index('"'), APOSTROPHE)
    assert told.endswith("Text stands in single quotes: 'O''Hara'.")


def test_typing_at_the_end_of_a_long_text_looks_at_little_of_it() -> None:
    for text in ("'a' + 'b' * 2_000_000", "'-- ' + '-' * 2_000_000 + ' x'", "'x' + '-' * 2_000_000"):
        ends(f"from floor.completing import Names, rest_of_word; rest_of_word({text}, '', Names(('Ada',)))")
    assert rest_of_word("SELECT " + "x, " * 1000 + "sets.pl", "", NAMES) == "anned"


def test_a_comment_line_is_passed_over_even_with_a_quote_in_it() -> None:
    assert rest_of_word("SELECT 1\n-- the coach's sq", "", NAMES) == ""


def test_of_many_quoted_words_some_are_compared_with_the_names_and_the_rest_are_not(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    compared = []

    def count(word: str, *rest: object) -> list[str]:
        compared.append(word)
        return []

    monkeypatch.setattr(difflib, "get_close_matches", count)
    assert misspelt(f"SELECT 1 WHERE lifter IN ({', '.join(repr(f'm{n}') for n in range(3000))})", NAMES) == ""
    assert misspelt(f"SELECT 1 WHERE lifter = '{'y' * 100_000}'", NAMES) == ""
    assert len(compared) == COMPARED
