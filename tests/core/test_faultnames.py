"""What a fault is called: the latest name it had, also when it is taught no more."""

from __future__ import annotations

from floor.core.faultnames import fault_names

OLD = '[[lift]]\nid = "squat"\nfaults = [{ id = "knees", name = "knees in" }, { id = "heels", name = "heels up" }]\n'
NEW = '[[lift]]\nid = "squat"\nfaults = [{ id = "knees", name = "knees caving in" }]\n'


def test_the_latest_name_stands_and_a_fault_that_was_dropped_keeps_its_own() -> None:
    assert fault_names([OLD, NEW]) == {("squat", "knees"): "knees caving in", ("squat", "heels"): "heels up"}


def test_a_text_that_is_no_such_document_names_nothing() -> None:
    assert fault_names(["[[lift", "lift = 3", '[[lift]]\nid = "squat"\nfaults = [{ id = 4, name = "x" }]']) == {}
