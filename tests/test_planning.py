"""The planner's process: what is asked of it comes back, what is old does not, and its death is survived."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from queue import Queue

import pytest

from floor.core.outlook import Outlook
from floor.core.pace import NO_PACE, Pace
from floor.core.state import State
from floor.planning import CHILD, ENDED, Planner
from floor.planning_wire import Answer, NoPlan, Request, pack, receive, send, unpack
from tests.core.scenes import SIX
from tests.stand_in_planner import DIES, ENDLESS, FAILS, MISTAKEN
from tests.tui.house import check_in, new_clock, open_session

STAND_IN = (sys.executable, "-P", "-m", "tests.stand_in_planner")
PATIENCE = 60
"""Seconds until an answer is given up; it takes milliseconds on an idle machine."""


class Told:
    """A planner and the answers it told, oldest first."""

    def __init__(self, planner: Planner) -> None:
        self.planner = planner
        self.answers: Queue[Answer] = Queue()
        planner.listen(self.answers.put)

    def asks(self, cmd: int, pace: Pace = NO_PACE, state: State | None = None, seconds: int = 0) -> None:
        self.planner.send(Request(cmd, SIX + timedelta(seconds=seconds), state or State(), pace))

    def hears(self) -> Answer:
        return self.answers.get(timeout=PATIENCE)

    def hears_plan(self) -> tuple[int, bool]:
        answer = self.hears()
        assert isinstance(answer, Outlook), answer
        return answer.cmd, answer.refined


@pytest.fixture
def stand_in() -> Iterator[Told]:
    planner = Planner(STAND_IN)
    yield Told(planner)
    planner.close()


def test_an_evening_gets_a_first_plan_then_a_refined_one(tmp_path: Path) -> None:
    session = open_session(tmp_path, new_clock())
    check_in(session, 1, 2, 3)
    planner = Planner(CHILD)
    told = Told(planner)
    try:
        now = session.clock.now()
        planner.send(Request(session.latest, now, session.state))
        first, refined = told.hears(), told.hears()
    finally:
        planner.close()
        session.journal.close()
    assert isinstance(first, Outlook) and isinstance(refined, Outlook)
    assert (first.cmd, first.refined, first.made) == (session.latest, False, now)
    assert (refined.cmd, refined.refined) == (session.latest, True)
    assert {turn.lifter for turn in first.turns} == {1, 2, 3}
    assert first.finish is not None and first.rotation is not None and first.finish > now


def test_a_state_goes_through_the_pipe_whole(tmp_path: Path) -> None:
    session = open_session(tmp_path, new_clock())
    check_in(session, 1, 2)
    session.journal.close()
    request = Request(session.latest, SIX, session.state)
    assert unpack(pack(request)) == request


def test_a_newer_state_breaks_the_refining_of_an_older_one_off(stand_in: Told) -> None:
    for cmd in range(1, 20):
        stand_in.asks(cmd, ENDLESS)
        assert stand_in.hears_plan() == (cmd, False)
    stand_in.asks(20)
    assert [stand_in.hears_plan(), stand_in.hears_plan()] == [(20, False), (20, True)]


def test_of_many_states_sent_at_once_the_newest_is_planned(stand_in: Told) -> None:
    for cmd in range(1, 200):
        stand_in.asks(cmd)
    heard = [stand_in.hears_plan()]
    while heard[-1] != (199, True):
        heard.append(stand_in.hears_plan())
    assert heard[-2:] == [(199, False), (199, True)] and len(heard) < 200


def test_a_plan_for_an_older_state_is_dropped(stand_in: Told) -> None:
    stand_in.asks(5, MISTAKEN)
    assert stand_in.hears_plan() == (5, True)  # the first one said it was for 4


def test_the_same_state_at_a_later_time_is_refined_at_once(stand_in: Told) -> None:
    stand_in.asks(1)
    assert [stand_in.hears_plan(), stand_in.hears_plan()] == [(1, False), (1, True)]
    stand_in.asks(1, seconds=30)
    answer = stand_in.hears()
    assert isinstance(answer, Outlook) and answer.refined and answer.made == SIX + timedelta(seconds=30)


def test_an_error_of_the_planners_own_is_told_without_its_words_and_the_next_state_is_planned(stand_in: Told) -> None:
    stand_in.asks(1, FAILS)
    answer = stand_in.hears()
    assert isinstance(answer, NoPlan) and answer.cmd == 1
    assert "KeyError" in answer.words and "name" not in answer.words
    assert stand_in.hears() == answer  # of the refined one
    stand_in.asks(2)
    assert stand_in.hears_plan() == (2, False)


@pytest.mark.skipif(os.name != "posix", reason="kills by signal")
def test_a_planner_that_is_killed_is_started_again_once_and_plans_the_latest_state(stand_in: Told) -> None:
    stand_in.asks(7, ENDLESS)
    assert stand_in.hears_plan() == (7, False)
    first = stand_in.planner.pid
    assert first is not None
    os.kill(first, signal.SIGKILL)
    assert stand_in.hears_plan() == (7, False)
    second = stand_in.planner.pid
    assert second is not None and second != first
    os.kill(second, signal.SIGKILL)
    assert stand_in.hears() == NoPlan(ENDED)
    assert stand_in.planner.pid is None
    stand_in.asks(8)  # for nobody, and no error
    assert stand_in.answers.empty()


def test_a_state_no_planner_survives_ends_in_words(stand_in: Told) -> None:
    stand_in.asks(1, DIES)
    assert stand_in.hears() == NoPlan(ENDED)


def test_a_planner_that_cannot_be_started_ends_in_words() -> None:
    planner = Planner((sys.executable, "-P", "-m", "tests.no_such_planner"))
    told = Told(planner)
    told.asks(1)
    assert told.hears() == NoPlan(ENDED)
    planner.close()
    gone = Planner(("/no/such/python",))
    told = Told(gone)
    told.asks(1)
    assert told.hears() == NoPlan(ENDED)
    gone.close()


def test_closing_ends_the_process_and_the_threads_while_it_plans(stand_in: Told) -> None:
    stand_in.asks(1, ENDLESS)
    assert stand_in.hears_plan() == (1, False)
    pid = stand_in.planner.pid
    assert pid is not None
    stand_in.planner.close()
    with pytest.raises(ProcessLookupError):
        os.kill(pid, 0)
    assert [t for t in threading.enumerate() if t.name == "planner"] == []
    stand_in.planner.close()  # again: nothing


def test_the_process_ends_by_itself_when_the_app_is_gone() -> None:
    house = {**os.environ, "PYTHONPATH": str(Path(__file__).parent.parent)}
    child = subprocess.Popen(STAND_IN, stdin=subprocess.PIPE, stdout=subprocess.PIPE, env=house)
    assert child.stdin is not None and child.stdout is not None
    send(child.stdin, pack(Request(1, SIX, State(), ENDLESS)))
    assert receive(child.stdout) is not None  # the first plan; now it refines for ever
    child.stdin.close()
    assert child.wait(PATIENCE) == 0
    child.stdout.close()


@pytest.mark.skipif(not hasattr(os, "getpriority"), reason="no priorities here")
def test_the_planner_gives_way_to_the_app(stand_in: Told) -> None:
    stand_in.asks(1)
    stand_in.hears()
    pid = stand_in.planner.pid
    assert pid is not None
    mine = os.getpriority(os.PRIO_PROCESS, 0)
    assert os.getpriority(os.PRIO_PROCESS, pid) == min(19, mine + 10)
