"""What is recorded comes back: numbers, chain, undo, people, definitions."""

from __future__ import annotations

from pathlib import Path

import pytest

from floor.core.events import FIELDS, Event
from floor.core.people import Note, NoteAdded, Person, PersonAdded, PersonRenamed
from floor.journal.rows import link
from floor.journal.schema import EVENT_COLUMNS
from tests.journal.helpers import (
    START,
    TEMPLATES,
    append_each,
    at,
    ended,
    ev,
    fault,
    joined,
    open_gym,
    opened,
    rep,
    undone,
)
from tests.journal.helpers import planned as set_planned
from tests.journal.helpers import view as ask


def test_a_new_gym_adopts_its_templates_as_command_one(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "a.gym", unit="lb")
    reading = journal.read()
    assert reading.past == ()
    assert [c.cmd for c in reading.tonight] == [1]
    assert [(e.kind, e.definition, e.count) for e in reading.tonight[0].events] == [
        ("definition_adopted", "lifts", 1),
        ("definition_adopted", "plates", 1),
    ]
    assert reading.definitions == {"lifts": (1, TEMPLATES["lifts"]), "plates": (1, TEMPLATES["plates"])}
    assert (reading.unit, reading.zone) == ("lb", "Europe/Berlin")


def test_an_event_comes_back_as_it_was_with_every_field(tmp_path: Path) -> None:
    values: dict[str, object] = {}
    for number, name in enumerate(FIELDS):
        kind = EVENT_COLUMNS[name]
        values[name] = f"words {number} ü" if kind == "VARCHAR" else number
    values |= {"kind": "set_started", "happened": at(0.123456), "stack": ("20", "2.5"), "youth": False}
    event = Event(**values)  # type: ignore[arg-type]
    path = tmp_path / "a.gym"
    journal = open_gym(path)
    journal.append([event])
    journal.close()
    assert open_gym(path).read().tonight[-1].events == (event,)


def test_an_empty_bar_is_not_an_unknown_one(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "a.gym")
    journal.append([ev("bar_found", station=1, bar="bar20", stack=()), ev("rep_made", lifter=1, set_no=1, rep=1)])
    found, counted = journal.read().tonight[-1].events
    assert found.stack == ()
    assert counted.stack is None


def test_events_of_one_key_share_a_number_and_numbers_have_no_gaps(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    journal = open_gym(path)
    assert journal.append([opened(), set_planned(1, 1, 6000)]) == 2
    journal.close()
    journal = open_gym(path)
    assert journal.append([rep(1, 1, 1, 10)]) == 3
    assert ask(journal, "SELECT seq, cmd FROM event ORDER BY seq") == [(1, 1), (2, 1), (3, 2), (4, 2), (5, 3)]


def test_each_row_is_chained_to_the_one_before(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "a.gym")
    journal.append([opened()])
    rows = ask(journal, "SELECT chain FROM event ORDER BY seq")
    assert rows[2][0] == link(rows[1][0], 3, 2, opened())
    assert len({chain for (chain,) in rows}) == 3


def test_an_event_that_lacks_what_it_needs_is_not_recorded(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "a.gym")
    with pytest.raises(ValueError, match="set_no"):
        journal.append([opened(), ev("rep_made", lifter=1, rep=1)])
    with pytest.raises(ValueError, match="at least one"):
        journal.append([])
    assert journal.append([opened()]) == 2


def test_an_undone_command_and_the_undoing_are_not_read(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "a.gym")
    cmds = append_each(journal, [opened(), rep(1, 1, 1, 10), rep(1, 1, 2, 12)])
    journal.append([undone(cmds[2])])
    journal.append([undone(cmds[1])])
    assert [c.cmd for c in journal.read().tonight] == [cmds[0]]


def test_tonight_begins_where_the_latest_standing_session_was_opened(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "a.gym")
    append_each(journal, [joined(1), opened(1), rep(1, 1, 1, 10), ev("session_closed", 20, session=1)])
    second = journal.append([opened(2, 100)])
    journal.append([rep(1, 1, 1, 110)])
    reading = journal.read()
    assert [e.kind for e in reading.past] == [
        "definition_adopted", "definition_adopted", "lifter_joined", "session_opened", "session_closed",
    ]  # fmt: skip
    assert [c.events[0].kind for c in reading.tonight] == ["session_opened", "rep_made"]
    append_each(journal, [undone(second + 1), undone(second)])
    assert [c.events[0].kind for c in journal.read().tonight] == ["session_opened", "rep_made", "session_closed"]


def test_names_and_notes_are_kept_with_the_command_they_came_with(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "a.gym")
    journal.append([joined(7)], [PersonAdded(7, "Ada Example", "Ada"), NoteAdded(7, "caution", "old shoulder")])
    pain = journal.append([ev("pain_reported", 5, lifter=7)], [NoteAdded(7, "pain", "left knee")])
    person = journal.read().people[7]
    notes = (Note(2, "caution", "old shoulder"), Note(pain, "pain", "left knee"))
    assert person == Person(7, "Ada Example", "Ada", notes)
    assert person.noted("pain") == (Note(pain, "pain", "left knee"),)
    journal.append([ev("lifter_moved", 6, lifter=7, station=1)], [PersonRenamed(7, "Ada Other", "Ada O")])
    assert journal.read().people[7].board == "Ada O"


def test_undoing_an_incident_takes_its_words_out_of_sight(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "a.gym")
    journal.append([joined(7)], [PersonAdded(7, "Ada Example", "Ada")])
    incident = journal.append([ev("incident_noted", 5, lifter=7)], [NoteAdded(7, "incident", "dropped the bar")])
    journal.append([undone(incident)])
    assert journal.read().people[7].notes == ()


def test_a_walk_in_taken_back_is_nobody_and_the_number_is_free_again(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "a.gym")
    cmd = journal.append([joined(7)], [PersonAdded(7, "Ada Exmaple", "Ada"), NoteAdded(7, "caution", "typed wrong")])
    journal.append([undone(cmd)])
    assert journal.read().people == {}
    journal.append([joined(7)], [PersonAdded(7, "Ben Example", "Ben")])
    assert journal.read().people == {7: Person(7, "Ben Example", "Ben")}


@pytest.mark.parametrize(
    "change",
    [
        PersonAdded(7, "Again", "Again"),
        PersonAdded(8, " ", "x"),
        NoteAdded(9, "pain", "nobody"),
        NoteAdded(7, "gossip", "words"),
        NoteAdded(7, "pain", " "),
        PersonRenamed(9, "Nobody", "Nobody"),
    ],
)
def test_a_change_to_people_that_makes_no_sense_records_nothing(
    tmp_path: Path, change: PersonAdded | NoteAdded | PersonRenamed
) -> None:
    journal = open_gym(tmp_path / "a.gym")
    journal.append([joined(7)], [PersonAdded(7, "Ada Example", "Ada")])
    before = journal.head
    with pytest.raises(ValueError):
        journal.append([ev("pain_reported", lifter=7)], [change])
    assert journal.head == before
    assert list(journal.read().people) == [7]


def test_a_changed_definition_is_a_new_version_and_undo_goes_back_to_the_old_one(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "a.gym")
    adopting = ev("definition_adopted", 5, session=None, definition="lifts", count=2)
    cmd = journal.adopt("lifts", "# better\n", adopting)
    assert journal.read().definitions["lifts"] == (2, "# better\n")
    journal.append([undone(cmd)])
    assert journal.read().definitions["lifts"] == (1, TEMPLATES["lifts"])
    assert journal.next_version("lifts") == 3
    with pytest.raises(ValueError, match="version 3"):
        journal.adopt("lifts", "# again\n", adopting)


def test_many_commands_at_once_get_the_numbers_and_chain_of_one_by_one(tmp_path: Path) -> None:
    commands = [
        [joined(1)],
        [opened(), set_planned(1, 1, 6000)],
        [ev("bar_found", 2, station=1, bar="b", stack=("20", "5")), ev("bar_found", 2, station=2, bar="b", stack=())],
        [rep(1, 1, 1, 10), fault(1, 1, 1, "knees_in", 11)],
        [undone(5, 12)],
        [ended(1, 1, 6000, 13)],
    ]
    slow, fast = open_gym(tmp_path / "slow.gym"), open_gym(tmp_path / "fast.gym")
    for events in commands:
        slow.append(events)
    assert fast.bulk(iter(commands), [PersonAdded(1, "Ada Example", "Ada"), NoteAdded(1, "caution", "old")]) == 7
    assert fast.head == slow.head
    assert fast.read().tonight == slow.read().tonight
    assert fast.read().people[1].notes == (Note(0, "caution", "old"),)
    assert fast.append([rep(1, 1, 2, 20)]) == 8
    fast.close()
    assert open_gym(tmp_path / "fast.gym").opening.words == ""


def test_times_are_read_as_utc_whatever_zone_they_were_given_in(tmp_path: Path) -> None:
    from zoneinfo import ZoneInfo

    journal = open_gym(tmp_path / "a.gym")
    there = START.astimezone(ZoneInfo("America/Lima"))
    journal.append([Event(kind="session_opened", happened=there, session=1)])
    read = journal.read().tonight[0].events[0].happened
    assert read == START
    assert read.utcoffset() is not None and read.tzname() == "UTC"
