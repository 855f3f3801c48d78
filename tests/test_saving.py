"""An answer is saved whole or not at all, and whatever was typed for a name is answered with a sentence."""

from __future__ import annotations

import gc
import resource
import signal
import warnings
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from floor import saving
from floor.background import Question, Saved
from floor.journal.snapshot import snapshot
from floor.saving import save_to
from tests.journal.helpers import open_gym


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("gym")
    journal = open_gym(folder / "a.gym")
    found = snapshot(journal, folder / "questions")
    journal.close()
    return found


@pytest.fixture
def ask(copy: Path) -> Iterator[Callable[[str], Question]]:
    asked: list[Question] = []

    def start(sql: str) -> Question:
        asked.append(question := Question.start(copy, sql, keep=True))
        question.wait(30)
        return question

    yield start
    for question in asked:
        question.stop()


def test_the_home_of_nobody_is_said_and_nothing_is_written(ask: Callable[[str], Question]) -> None:
    tried = save_to(ask("SELECT 1 AS one"), "~nosuchuser/answer.csv")
    assert not tried.done and tried.words.startswith("~nosuchuser/answer.csv") and "folder" in tried.words


def test_a_disk_that_is_full_half_way_leaves_no_piece_and_the_next_try_is_no_other_name(
    ask: Callable[[str], Question], tmp_path: Path
) -> None:
    path, question = tmp_path / "answer.csv", ask("SELECT range AS n FROM range(50000)")
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    heard = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, before[1]))
    try:
        tried = save_to(question, str(path))
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, heard)
    assert not tried.done and "can't be written" in tried.words and not path.exists()
    assert save_to(ask("SELECT 1 AS one"), str(path)).done


def test_a_file_that_is_there_stays_as_it_is(ask: Callable[[str], Question], tmp_path: Path) -> None:
    path = tmp_path / "answer.csv"
    path.write_text("mine")
    assert "is there already" in save_to(ask("SELECT 1 AS one"), str(path)).words
    assert path.read_text() == "mine"


@pytest.mark.parametrize(("rows", "words"), [(1, "1 row saved"), (2500, "2,500 rows saved"), (0, "0 rows saved")])
def test_rows_are_counted_as_they_are_said(
    ask: Callable[[str], Question], tmp_path: Path, rows: int, words: str
) -> None:
    tried = save_to(ask(f"SELECT range AS n FROM range({rows})"), str(tmp_path / "answer.csv"))
    assert tried.done and tried.words.startswith(words)


def test_a_reader_who_is_gone_is_said_to_be_gone_and_not_that_the_question_was_too_large(
    ask: Callable[[str], Question],
) -> None:
    def gone(data: bytes) -> int:
        raise BrokenPipeError

    with pytest.raises(BrokenPipeError):
        saving.send(ask("SELECT 1 AS one"), "csv", gone)


def test_a_question_that_is_stopped_leaves_no_pipe_open(copy: Path) -> None:
    question = Question.start(copy, "SELECT range FROM range(5000)", keep=True)
    question.wait(30)
    question.stop()
    assert all(pipe is not None and pipe.closed for pipe in (question._process.stdin, question._process.stdout))
    other = Question.start(copy, "SELECT range FROM range(50000)", keep=True)
    other.wait(30)
    assert isinstance(other.save("csv", len), Saved)
    other.stop()
    with warnings.catch_warnings():
        warnings.simplefilter("error", ResourceWarning)
        del question, other
        gc.collect()
