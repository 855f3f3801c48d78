"""Completion knows the tables, the columns of those in use, and this gym's names."""

from __future__ import annotations

import pytest

from floor.completing import Names, misspelt, nearest, rest_of_word, with_nearest

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


@pytest.mark.parametrize(("sql", "like"), [("SELECT lod", "load"), ("SELECT xyzzy", ""), ("SELECT load", "")])
def test_the_nearest_name_to_a_wrong_one(sql: str, like: str) -> None:
    assert nearest(sql, 7) == like
    assert nearest(sql, None) == ""


def test_the_one_that_was_meant_stands_in_place_of_a_list() -> None:
    told = 'Referenced column "lod" not found in FROM clause! Candidate bindings: "load", "lift".'
    assert with_nearest(told, "load") == 'Referenced column "lod" not found in FROM clause. Did you mean load?'
    assert with_nearest(told, "") == told


def test_a_quoted_name_that_is_nobodys_is_told_with_the_one_like_it() -> None:
    assert "there is 'squat'" in misspelt("SELECT 1 WHERE lift = 'sqaut'", NAMES)
    assert misspelt("SELECT 1 WHERE lifter = 'ada'", NAMES) == "'ada' is written 'Ada' here"
    assert misspelt("SELECT 1 WHERE lifter = 'Ada' AND lift = 'zzz'", NAMES) == ""
