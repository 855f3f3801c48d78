"""A row written twice is asked about; sets alike, each in a row of its own, are not."""

from __future__ import annotations

from datetime import date, timedelta

from floor.core.history import Place, SetLine
from floor.core.samerows import WrittenRow, far_apart, same_rows

DAY = date(2026, 11, 16)


def row(
    number: int, load: int = 6000, *, day: int = 0, who: str = "Oda", sets: int = 1, note: str = "", whole: bool = False
) -> WrittenRow:
    place = Place("", number, "load")
    done = tuple(SetLine(place, DAY + timedelta(days=day), who, "squat", load, 5) for _ in range(sets))
    return WrittenRow((note,), done, whole)


def odd(*rows: WrittenRow) -> list[str]:
    return [str(one) for one in same_rows(rows)]


def test_a_lifts_row_written_twice_is_the_same_as_the_first() -> None:
    found = odd(row(11, whole=True, sets=3), row(12, 7000, whole=True, sets=3), row(13, whole=True, sets=3))
    assert len(found) == 1 and found[0].startswith('row 13, "load": the same as row 11: leave one out')


def test_a_single_set_in_a_column_of_sets_is_a_lifts_row_too() -> None:
    assert len(odd(row(2, whole=True), row(3, whole=True))) == 1


def test_sets_alike_in_rows_of_their_own_are_the_rule() -> None:
    assert odd(row(2), row(3), row(4, who="Pim"), row(5)) == []


def test_a_day_written_twice_with_another_between_is_asked_about() -> None:
    found = odd(row(2), row(3), row(4, day=2), row(5), row(6))
    assert [one.split(":")[0] for one in found] == ['row 5, "load"', 'row 6, "load"']


def test_another_remark_makes_another_row_of_a_single_set_and_none_of_several() -> None:
    assert odd(row(2, whole=True, note="belt"), row(3, whole=True)) == []
    assert len(odd(row(2, sets=3, note="belt"), row(3, sets=3))) == 1


def test_another_lifter_day_or_load_makes_another_row() -> None:
    others = [row(3, whole=True, who="Pim"), row(4, 6250, whole=True), row(5, day=1, whole=True)]
    assert odd(row(2, whole=True), *others) == []


def apart(*rows: WrittenRow) -> list[str]:
    return [str(one) for one in far_apart(rows, "kg")]


def test_a_lift_twice_a_day_far_apart_is_asked_about_with_both_loads() -> None:
    found = apart(row(2, 7500, sets=3), row(3, 2000, sets=3))
    assert len(found) == 1 and "--yes-odd" in found[0]
    assert found[0].startswith('row 3, "load": the same lift twice that day, 20 kg here, 75 kg in row 2:')
    assert len(apart(row(2, 2000, sets=3), row(3, 7500, sets=3))) == 1


def test_a_ramp_and_back_off_sets_are_not_far_apart() -> None:
    assert apart(row(2, 2000, sets=2, whole=True), row(3, 7500, sets=3, whole=True), row(4, 6000, sets=2)) == []
    assert apart(row(2, 2000, sets=2), row(3, 4000, sets=2), row(4, 7500, sets=2)) == []
    assert apart(row(2, 7500), row(3, 2000)) == []  # a row a set, in whatever order


def test_another_day_or_lifter_is_not_the_same_lift_twice() -> None:
    assert apart(row(2, 7500, sets=3), row(3, 2000, sets=3, day=1), row(4, 2000, sets=3, who="Pim")) == []
