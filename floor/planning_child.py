"""The planner's process: `python -m floor.planning_child`, states in, outlooks out, until the input ends.

The newest state is always the one that is planned. Each gets a first plan at
once and then, unless a newer one has come, a refined plan; a newer state
breaks off the refining wherever it is. The process gives way to the app's.
"""

from __future__ import annotations

import _thread
import os
import signal
import sys
import threading
import traceback
from collections.abc import Callable
from datetime import datetime
from types import FrameType
from typing import IO

from floor.core.outlook import Outlook
from floor.core.outlooking import outlook
from floor.core.pace import Pace
from floor.core.state import State
from floor.planning_wire import Answer, NoPlan, Request, pack, receive, send, unpack

Look = Callable[[State, int, datetime, Pace, bool], Outlook]
GIVES_WAY = 10
"""How much lower its priority is than the app's (as `nice` counts), where the system has such a thing."""


class Newer(BaseException):
    """A newer state has come while an older one was refined. No Exception: nothing on the way may catch it."""


class Child:
    """Reads in one thread, plans in the main one."""

    def __init__(self, source: IO[bytes], sink: IO[bytes], look: Look) -> None:
        self._source, self._sink, self._look = source, sink, look
        self._came = threading.Condition()
        self._waiting: bytes | None = None
        self._refining = False
        self._refined = 0

    def run(self) -> None:
        """Plan until the process is ended by the end of its input."""
        signal.signal(signal.SIGINT, self._break_off)
        threading.Thread(target=self._read, name="states", daemon=True).start()
        while True:
            with self._came:
                self._came.wait_for(lambda: self._waiting is not None)
                data, self._waiting = self._waiting, None
            assert data is not None
            self._plan(unpack(data))

    def _read(self) -> None:
        while (data := receive(self._source)) is not None:
            with self._came:
                self._waiting = data
                self._came.notify()
            if self._refining:
                _thread.interrupt_main()
        os._exit(0)  # the app is gone or wants no more; whatever is planned now is for nobody

    def _break_off(self, number: int, frame: FrameType | None) -> None:
        if self._refining and self._waiting is not None:
            self._refining = False  # once: what else comes meanwhile finds nothing to break off
            raise Newer

    def _plan(self, request: Request) -> None:
        """First and refined plan of one state; the same state at a later time is refined at once."""
        if request.cmd != self._refined:
            self._say(self._found(request, False))
        try:
            self._refining = True
            if self._waiting is not None:
                raise Newer
            found = self._found(request, True)
            self._refining = False
        except Newer:
            self._refining = False
            return
        self._refined = request.cmd
        self._say(found)

    def _found(self, request: Request, refined: bool) -> Answer:
        try:
            return self._look(request.state, request.cmd, request.now, request.pace, refined)
        except Exception as error:  # told on screen; the next state may well go better
            at = traceback.extract_tb(error.__traceback__)[-1]
            where = f"{os.path.basename(at.filename)} line {at.lineno}"
            return NoPlan(f"an error of the planner's own ({type(error).__name__}, {where})", request.cmd)

    def _say(self, answer: Answer) -> None:
        try:
            send(self._sink, pack(answer))
        except BrokenPipeError:
            os._exit(0)


def main(look: Look = outlook) -> None:
    """Serve the app on standard input and output."""
    if hasattr(os, "nice"):
        os.nice(GIVES_WAY)
    Child(sys.stdin.buffer, sys.stdout.buffer, look).run()


if __name__ == "__main__":
    main()
