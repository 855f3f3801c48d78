"""Completion knows the tables, the columns of those in use, and this gym's names."""

from __future__ import annotations

import pytest

from floor.completing import Names, misspelt, refusal_words, rest_of_word

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
    told = refusal_words(COLUMN.format("repz"), "SELECT load, repz FROM sets", 13, NAMES)
    assert "Did you mean" not in told and "sets has session, evening, lifter, lift, set_no" in told


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
