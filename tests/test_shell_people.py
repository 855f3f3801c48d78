"""A name is put right or erased from the shell: whose it is is said first, and erasing is asked about."""

from __future__ import annotations

from pathlib import Path

import pytest

from floor.cli import main
from floor.core import commands as c
from floor.core.people import NoteAdded, PersonAdded
from floor.session import Done
from tests.bringing import opened


@pytest.fixture
def gym(tmp_path: Path) -> Path:
    path = tmp_path / "gym.duckdb"
    session = opened(path)
    people = [("Oda Invented", "Oda"), ("Pim Made-Up", "Pim"), ("Pim Other", "Pim O")]
    for number, (name, board) in enumerate(people, 1):
        assert isinstance(session.do(c.JoinLifter(number), [PersonAdded(number, name, board)]), Done)
    assert isinstance(session.do(c.AddNote(1), [NoteAdded(1, "caution", "left knee")]), Done)
    session.journal.close()
    return path


def names(path: Path) -> dict[int, tuple[str, str]]:
    session = opened(path)
    found = {number: (person.name, person.board) for number, person in session.people.items()}
    session.journal.close()
    return found


def run(gym: Path, capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    status = main([*words, "--gym", str(gym)])
    said = capsys.readouterr()
    return status, said.out, said.err


def test_forgetting_says_whom_it_found_what_goes_and_what_stays_and_asks(
    gym: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, out, err = run(gym, capsys, "forget", "oda  INVENTED")
    assert status == 1 and "Nothing was erased." in err and "--yes" in err
    assert "Oda Invented, Oda on the board" in out and "1 note (caution 1)" in out and "stays" in out
    assert "knee" not in out
    assert names(gym)[1] == ("Oda Invented", "Oda")


def test_with_yes_it_is_erased(gym: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(gym, capsys, "forget", "Oda Invented", "--yes")
    assert status == 0 and "erased from" in out
    assert names(gym)[1] == ("forgotten", "forgotten")
    assert run(gym, capsys, "forget", "forgotten", "--yes")[0] == 1


@pytest.mark.parametrize(("answer", "status"), [("no", 1), ("", 1), ("yes", 0)])
def test_in_a_terminal_only_a_typed_yes_erases(
    gym: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, answer: str, status: int
) -> None:
    monkeypatch.setattr("sys.stdin.isatty", lambda: True)
    monkeypatch.setattr("builtins.input", lambda _: answer)
    assert run(gym, capsys, "forget", "Oda Invented")[0] == status
    assert (names(gym)[1][0] == "forgotten") == (status == 0)


def test_nobody_of_that_name_is_erased_or_renamed(gym: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for words in (("forget", "Oda Invent", "--yes"), ("rename", "Oda Invent", "Oda Other")):
        status, _, err = run(gym, capsys, *words)
        assert status == 1 and 'Nobody in the gym is called "Oda Invent".' in err
    assert names(gym)[1] == ("Oda Invented", "Oda")


def test_a_name_put_right_stands_on_the_board_too_and_undo_leaves_it(
    gym: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(gym, capsys, "rename", "Oda Invented", "Odalys Invented")[:2] == (
        0, "Oda Invented is Odalys Invented now, Odalys on the board.\n",
    )  # fmt: skip
    session = opened(gym)
    while isinstance(session.undo(), Done) and session.people.keys() > {1}:
        assert session.people[1].name == "Odalys Invented"
    session.journal.close()


def test_a_name_or_a_board_name_that_somebody_has_is_refused(gym: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = names(gym)
    for words, why in (
        (("Oda Invented", "pim  made-up"), "There is a Pim Made-Up already"),
        (("Oda", "Oda Other", "--board", "PIM"), "stands on the board for somebody else"),
        (("Oda Invented", "  "), "needs a name"),
        (("Oda Invented", "Forgotten"), "stands for whoever was erased"),
        (("Oda Invented", "Oda Invented"), "is called so already"),
    ):
        status, _, err = run(gym, capsys, "rename", *words)
        assert status == 1 and why in err and "Nothing was changed." in err, err
    assert names(gym) == before


def test_the_name_on_the_board_can_be_said_and_is_made_unlike_the_others(
    gym: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(gym, capsys, "rename", "oda", "Pim Newname")[0] == 0
    assert names(gym)[1] == ("Pim Newname", "Pim N")
    assert run(gym, capsys, "rename", "Pim Newname", "Pim Newname", "--board", "Captain")[0] == 0
    assert names(gym)[1] == ("Pim Newname", "Captain")


def test_no_byte_of_a_name_before_it_was_put_right_is_left_after_forgetting(
    gym: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(gym, capsys, "rename", "Oda Invented", "Quillon Vexmarsh")[0] == 0
    assert run(gym, capsys, "forget", "Quillon Vexmarsh", "--yes")[0] == 0
    left = b"".join(path.read_bytes() for path in gym.parent.iterdir())
    assert b"Invented" not in left and b"Vexmarsh" not in left and b"Made-Up" in left


def test_an_adopted_document_goes_by_its_files_name_and_the_same_again_is_no_new_version(
    gym: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = run(gym, capsys, "show", "equipment")[1]
    mine = tmp_path / "our plates.toml"
    mine.write_text(text, encoding="utf-8")
    status, out, _ = run(gym, capsys, "adopt", "equipment", str(mine))
    assert status == 0 and "The same as equipment version 1: nothing was changed." in out
    session = opened(gym)
    assert session.state.gym.versions["equipment"] == 1
    session.journal.close()
    mine.write_text(text.replace("mass =", "mas =", 1), encoding="utf-8")
    status, _, err = run(gym, capsys, "adopt", "equipment", str(mine))
    assert status == 1 and err.startswith("our plates.toml, ") and "equipment.toml" not in err


def test_an_erasing_that_failed_is_finished_by_the_number(
    gym: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(connection: object, fresh: Path) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr("floor.journal.log.copy_fresh", full)
        status, _, err = run(gym, capsys, "forget", "Oda Invented", "--yes")
    assert status == 1 and "not yet out of the file" in err and "`floor forget 1`" in err and "recorded" not in err
    assert b"Oda Invented" in gym.read_bytes()
    status, out, _ = run(gym, capsys, "forget", "1", "--yes")
    assert status == 0 and "erased already" in out
    assert b"Oda Invented" not in gym.read_bytes()


def test_nobody_who_was_erased_is_given_a_name_by_their_number(gym: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(gym, capsys, "forget", "1", "--yes")[0] == 0
    assert run(gym, capsys, "rename", "1", "Quillon")[0] == 1
    assert run(gym, capsys, "rename", "2", "Pim Other-Wise")[0] == 0
    assert names(gym)[1][0] == "forgotten" and names(gym)[2][0] == "Pim Other-Wise"


def test_the_name_on_the_board_is_put_right_alone(gym: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(gym, capsys, "rename", "Oda Invented", "--board", "Odalis")
    assert status == 0 and "Oda Invented is Oda Invented now, Odalis on the board." in out
    assert names(gym)[1] == ("Oda Invented", "Odalis")
    status, _, err = run(gym, capsys, "rename", "Oda Invented")
    assert status == 1 and "--board" in err and names(gym)[1] == ("Oda Invented", "Odalis")
