"""Opening again: after a kill, a cut log, a second copy, a file that went away."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path

import pytest

from floor.core.people import NoteAdded, PersonAdded
from floor.journal.errors import GymBusy, GymGone
from floor.journal.log import Journal
from tests.journal.helpers import (
    EVENING,
    append_each,
    child,
    ev,
    joined,
    killed,
    line,
    open_gym,
    opened,
    rep,
    tail,
    undone,
    wal,
)
from tests.journal.helpers import view as ask


def test_nothing_acknowledged_is_lost_by_a_kill(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    acknowledged = 1
    for _ in range(6):
        process = child(
            "journal = open_gym(gym)\n"
            "for no in range(1, 9000): print(journal.append([rep(7, 1, 1, no)]), flush=True)",
            path,
        )
        for _ in range(40):
            acknowledged = int(line(process))
        process.kill()
        assert process.stdout is not None
        rest = process.stdout.read().split()  # communicate would leave out what the reader holds already
        process.communicate()
        acknowledged = int(rest[-1]) if rest else acknowledged
        journal = open_gym(path)
        assert journal.head.cmd >= acknowledged
        assert journal.head.cmd <= acknowledged + 1
        assert journal.opening.missing is None
        assert ask(journal, "SELECT count(*), max(cmd) FROM event")[0] == (journal.head.seq, journal.head.cmd)
        acknowledged = journal.head.cmd
        journal.close()


def test_a_cut_log_is_put_back_from_the_tail_and_told(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    killed(EVENING, path)
    shutil.copytree(tmp_path, tmp_path / "whole")
    whole = open_gym(tmp_path / "whole" / "a.gym").read()
    with open(wal(path), "r+b") as log:
        log.truncate(wal(path).stat().st_size - 700)
    journal = open_gym(path)
    missing = journal.opening.missing
    assert missing is not None and missing.restored and missing.count >= 1
    assert missing.kinds == ("rep_made",)
    assert journal.opening.words.startswith(f"{missing.count} entr")
    assert "18:00 on 2 March" in journal.opening.words and "put back" in journal.opening.words
    assert journal.read() == whole
    assert journal.append([rep(7, 1, 11, 11)]) == whole.tonight[-1].cmd + 1
    journal.close()
    assert open_gym(path).opening.words == ""


def test_a_deleted_log_loses_no_command_of_the_evening(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    killed(EVENING, path)
    wal(path).unlink()
    journal = open_gym(path)
    assert journal.opening.missing is not None
    assert (journal.opening.missing.restored, journal.opening.missing.count) == (True, 10)
    assert len(journal.read().tonight) == 11


def test_two_sessions_in_one_run_survive_a_deleted_log(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    killed(EVENING + 'append_each(journal, [ev("session_closed", 90), opened(2, 100), rep(7, 1, 1, 105)])\n', path)
    wal(path).unlink()
    journal = open_gym(path)
    assert journal.opening.missing is not None and journal.opening.missing.restored
    assert [e.kind for e in journal.read().past[-3:]] == ["lifter_joined", "session_opened", "session_closed"]
    assert [c.events[0].kind for c in journal.read().tonight] == ["session_opened", "rep_made"]
    assert ask(journal, "SELECT count(*) FROM standing WHERE kind = 'rep_made'") == [(11,)]
    assert journal.read().people[7].name == "Ada Example"


def test_after_a_kill_with_no_tail_the_coach_is_told_that_nothing_can_be_proved(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    killed(EVENING, path)
    tail(path).unlink()
    journal = open_gym(path)
    assert journal.opening.words.startswith("There was no second copy beside a.gym")
    assert len(journal.read().tonight) == 11


def test_a_name_that_went_with_the_log_is_named_as_lost(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    killed(
        EVENING
        + 'journal.append([joined(8, 60)], [PersonAdded(8, "Ben Example", "Ben")])\n'
        + 'journal.append([ev("pain_reported", 61, lifter=7)], [NoteAdded(7, "pain", "left knee")])\n',
        path,
    )
    wal(path).unlink()
    journal = open_gym(path)
    assert journal.opening.missing is not None
    assert journal.opening.missing.unnamed == (7, 8)
    assert "lost for lifter number 7, 8" in journal.opening.words
    assert journal.read().people[8].board == "Lifter 8"
    assert journal.read().people[7].board == "Ada"


def test_a_definition_adopted_tonight_comes_back_with_its_text(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    adopting = 'ev("definition_adopted", 60, session=None, definition="lifts", count=2)'
    killed(EVENING + f'journal.adopt("lifts", "# better", {adopting})\n', path)
    wal(path).unlink()
    assert open_gym(path).read().definitions["lifts"] == (2, "# better")


def test_a_tail_that_does_not_follow_the_file_is_kept_and_told(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    journal = open_gym(path)
    append_each(journal, [opened(), rep(7, 1, 1, 5)])
    journal.close()
    old = path.read_bytes()
    journal = open_gym(path)
    append_each(journal, [rep(7, 1, 2, 6), opened(2, 100), rep(7, 1, 1, 105)])
    journal.close()
    lines = tail(path).read_bytes()
    path.write_bytes(old)  # yesterday's copy put back by hand
    journal = open_gym(path)
    report = journal.opening
    assert report.missing is not None
    assert (report.missing.restored, report.missing.count) == (False, 2)
    assert report.missing.kinds == ("session_opened", "rep_made")
    assert report.kept_copy is not None and report.kept_copy.read_bytes() == lines
    assert "can't be put back" in report.words and report.kept_copy.name in report.words
    assert journal.append([rep(7, 1, 2, 6)]) == 4
    journal.close()
    assert open_gym(path).opening.words == ""


@pytest.mark.parametrize("left", ["absent", "shorter", "torn"])
def test_a_tail_behind_the_file_is_what_a_kill_after_the_commit_leaves(tmp_path: Path, left: str) -> None:
    path = tmp_path / "a.gym"
    journal = open_gym(path)
    append_each(journal, [opened(), rep(7, 1, 1, 5), rep(7, 1, 2, 6)])
    journal.close()
    whole = tail(path).read_bytes()
    lines = whole.splitlines(keepends=True)
    assert len(lines) == 3
    if left == "absent":
        tail(path).unlink()
    else:
        tail(path).write_bytes(b"".join(lines[:2]) + (lines[2][:-20] if left == "torn" else b""))
    journal = open_gym(path)
    assert journal.opening.words == "" and journal.opening.missing is None
    assert tail(path).read_bytes() == whole


def test_the_tail_has_the_running_session_and_no_names(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    journal = open_gym(path)
    journal.append([joined(7)], [PersonAdded(7, "Ada Example", "Ada")])
    append_each(journal, [opened(1), rep(7, 1, 1, 5), opened(2, 100)])
    journal.append([ev("incident_noted", 105, session=2, lifter=7)], [NoteAdded(7, "incident", "slipped")])
    written = tail(path).read_bytes()
    lines = [json.loads(text) for text in written.splitlines()]
    assert [[e["kind"] for e in one["events"]] for one in lines] == [["session_opened"], ["incident_noted"]]
    assert lines[1]["people"] == [7]
    assert b"Ada" not in written and b"slipped" not in written


def test_a_taken_away_tail_is_written_anew_and_nothing_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    journal = open_gym(path)
    append_each(journal, [opened(), rep(7, 1, 1, 5)])
    tail(path).unlink()
    assert journal.append([rep(7, 1, 2, 6)]) == 4
    assert "second copy" in journal.warning
    journal.append([rep(7, 1, 3, 7)])
    assert journal.warning == ""
    assert len(tail(path).read_bytes().splitlines()) == 4


def test_a_second_process_is_told_who_has_the_file(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    process = child("journal = open_gym(gym)\njournal.append([opened()])\nprint('open', flush=True)\ninput()", path)
    assert line(process) == "open"
    with pytest.raises(GymBusy) as caught:
        open_gym(path)
    assert caught.value.pid == process.pid
    assert str(process.pid) in str(caught.value)
    assert not list(tmp_path.glob("*before-crash*"))
    process.communicate("\n")
    assert open_gym(path).read().tonight


@pytest.mark.parametrize("how", ["deleted", "replaced"])
def test_a_file_that_went_away_is_noticed_before_the_next_key(tmp_path: Path, how: str) -> None:
    path = tmp_path / "a.gym"
    journal = open_gym(path)
    journal.append([opened()])
    if how == "deleted":
        path.unlink()
    else:
        (tmp_path / "other").write_bytes(b"something")
        os.replace(tmp_path / "other", path)
    before = tail(path).read_bytes()
    with pytest.raises(GymGone, match=r"a\.gym was deleted, moved or replaced"):
        journal.append([rep(7, 1, 1, 5)])
    assert tail(path).read_bytes() == before


def test_after_a_kill_file_and_log_are_copied_aside_and_three_copies_are_kept(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    for round_ in range(5):
        killed(f"journal = open_gym(gym)\njournal.append([rep(7, 1, 1, {round_})])", path)
    open_gym(path).close()
    copies = sorted(p.name for p in tmp_path.glob("*before-crash*"))
    assert copies == [f"a.gym.before-crash-{n}{end}" for n in (3, 4, 5) for end in ("", ".wal")]
    open_gym(path).close()
    assert sorted(p.name for p in tmp_path.glob("*before-crash*")) == copies
    assert open_gym(tmp_path / "a.gym.before-crash-5").head.cmd == 6


def test_undo_of_a_session_survives_opening(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    journal = open_gym(path)
    append_each(journal, [opened(1), rep(7, 1, 1, 5)])
    second = journal.append([opened(2, 100)])
    journal.append([undone(second, 101)])
    expected = journal.read()
    journal.close()
    journal: Journal = open_gym(path)
    assert journal.opening.words == ""
    assert journal.read() == expected
