"""The planner beside the floor: one child process that lives as long as the app, never waited for.

A busy thread makes every key many times slower, a busy process none, so plans
are made in a process of their own. The newest state is sent, older ones that
still wait are forgotten, and an answer for an older one is dropped. A child
that dies is started again once; after that the floor goes on without a plan.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path

from floor.planning_wire import Answer, NoPlan, Request, pack, receive, send, unpack

CHILD: tuple[str, ...] = (sys.executable, "-P", "-m", "floor.planning_child")
STARTS = 2
ENDED = "the planner's process has ended; the floor goes on without it"


class Planner:
    """One planner. `listen` first, then `send` as often as wanted; neither ever waits. `close` ends it for good."""

    def __init__(self, child: Sequence[str] = CHILD) -> None:
        self._child = tuple(child)
        self._changed = threading.Condition()
        self._tell: Callable[[Answer], object] | None = None
        self._waiting: Request | None = None
        self._latest: Request | None = None
        self._process: subprocess.Popen[bytes] | None = None
        self._threads: list[threading.Thread] = []
        self._starts = 0
        self._over = False

    def listen(self, tell: Callable[[Answer], object]) -> None:
        """Give every answer for the latest state to `tell`, in a thread of the planner's own."""
        self._tell = tell

    def send(self, request: Request) -> None:
        """Plan for this state, in place of every older one."""
        with self._changed:
            if self._over:
                return
            self._waiting = self._latest = request
            self._changed.notify_all()
            if not self._threads:
                self._run(self._write)

    @property
    def pid(self) -> int | None:
        """The child's process number while there is one."""
        process = self._process
        return process.pid if process is not None else None

    def close(self) -> None:
        """End the child at once and the threads with it. Nothing is told any more."""
        with self._changed:
            self._over = True
            process, self._process = self._process, None
            self._changed.notify_all()
            threads = list(self._threads)
        if process is not None:
            _kill(process)
        for thread in threads:
            if thread is not threading.current_thread():
                thread.join(1)

    # --- the threads

    def _run(self, work: Callable[..., None], *arguments: object) -> None:
        thread = threading.Thread(target=work, args=arguments, name="planner", daemon=True)
        self._threads.append(thread)
        thread.start()

    def _write(self) -> None:
        """Send what waits, the newest alone; start the child when there is none."""
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._over or self._waiting is not None)
                if self._over:
                    return
                request, self._waiting = self._waiting, None
            process = self._process or self._start()  # not under the lock: a key must not wait for it
            if process is None:
                return self._give_up()
            assert request is not None and process.stdin is not None
            with suppress(OSError, ValueError):  # the child is gone: whoever reads from it knows what to do
                send(process.stdin, pack(request))

    def _start(self) -> subprocess.Popen[bytes] | None:
        """A new child, None when the system has none to give."""
        folder = str(Path(__file__).resolve().parent.parent)
        self._starts += 1
        try:
            process = subprocess.Popen(
                self._child,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,  # a traceback could hold people's data
                env={**os.environ, "PYTHONPATH": folder},
                start_new_session=True,
            )
        except OSError:
            return None
        with self._changed:
            if not self._over:
                self._process = process
                self._run(self._read, process)
                return process
        _kill(process)
        for pipe in (process.stdin, process.stdout):
            assert pipe is not None
            pipe.close()
        return None

    def _read(self, process: subprocess.Popen[bytes]) -> None:
        assert process.stdout is not None and process.stdin is not None
        while (data := receive(process.stdout)) is not None:
            self._hand_over(unpack(data))
        _kill(process)
        for pipe in (process.stdin, process.stdout):
            with suppress(OSError):
                pipe.close()
        self._ended(process)

    def _hand_over(self, answer: Answer) -> None:
        with self._changed:
            latest = self._latest
            wanted = not self._over and latest is not None and answer.cmd == latest.cmd
        if wanted and self._tell is not None:
            self._tell(answer)

    def _ended(self, process: subprocess.Popen[bytes]) -> None:
        """The child is gone: start it again with the latest state, or, the second time, give up and say so."""
        with self._changed:
            if self._over or self._process is not process:
                return
            self._process = None
            if self._starts < STARTS:
                self._waiting = self._waiting or self._latest
                self._changed.notify_all()
                return
        self._give_up()

    def _give_up(self) -> None:
        with self._changed:
            if self._over:
                return
            self._over = True
            self._changed.notify_all()
        if self._tell is not None:
            self._tell(NoPlan(ENDED))


def _kill(process: subprocess.Popen[bytes]) -> None:
    """End the child and all it may have started, and see it off."""
    if process.poll() is None:
        with suppress(ProcessLookupError):
            if os.name == "posix":
                os.killpg(process.pid, signal.SIGKILL)
            else:
                process.kill()
    with suppress(subprocess.TimeoutExpired):
        process.wait(0.5)  # milliseconds; it can't refuse
