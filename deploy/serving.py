"""
The server and, beside it, the worker for long work: started together, stopped together.

The server's end is the end of both. A worker that ends by itself takes nothing along: it is said,
and after a while another is started. Uses nothing but the standard library.
"""

import ctypes
import os
import signal
import subprocess
import sys
import time
from collections.abc import Mapping, Sequence
from contextlib import suppress

from environment import PYTHON, ROOT, say

LOOK_SECONDS = 0.25  # how often the worker is looked after
STEADY_SECONDS = 60  # who ran this long may be started again at once
WAIT_SECONDS = (1, 5, 30, 60)  # before the next worker, after the first, the second ... quick end
GRACE_SECONDS = 25  # to finish what is being done; the server's own grace is 20
END_WITH_PARENT = 1  # Linux's PR_SET_PDEATHSIG
# once a second it asks for work; it says what goes wrong, not that it is there
WORKER = ("manage.py", "db_worker", "--interval", "1", "--no-reload", "--verbosity", "0")

Command = Sequence[str | os.PathLike[str]]


class Worker:
    """The process that does long work, started anew when it ends by itself."""

    def __init__(self, command: Command, environment: Mapping[str, str]) -> None:
        self.command, self.environment = command, environment
        self.quick_ends = 0
        self.due_at = 0.0
        self.began_at = 0.0
        self.process: subprocess.Popen[bytes] | None = None

    def look_after(self, now: float) -> None:
        """Start it if it is due; say so if it has ended."""
        if self.process is None:
            if now >= self.due_at:
                self.process, self.began_at = begin(self.command, self.environment), now
            return
        code = self.process.poll()
        if code is None:
            return
        steady = now - self.began_at >= STEADY_SECONDS
        self.quick_ends = 0 if steady else self.quick_ends + 1
        wait = WAIT_SECONDS[min(self.quick_ends, len(WAIT_SECONDS) - 1)]
        self.process, self.due_at = None, now + wait
        say(
            f"The worker for long imports has stopped ({_how(code)}); the pages stay up."
            f" Starting it again in {wait} s."
        )


def _how(code: int) -> str:
    return f"signal {-code}" if code < 0 else f"code {code}"


def begin(command: Command, environment: Mapping[str, str]) -> subprocess.Popen[bytes]:
    """Start a process that a Ctrl-C reaches through us alone, and that ends if we are killed."""
    return subprocess.Popen(
        [str(part) for part in command],
        env=dict(environment),
        cwd=ROOT,
        stdin=subprocess.DEVNULL,
        process_group=0,
        preexec_fn=_end_with_parent if sys.platform == "linux" else None,
    )


def _end_with_parent() -> None:
    ctypes.CDLL(None).prctl(END_WITH_PARENT, signal.SIGTERM)


def serve(server: Command, worker: Command, environment: Mapping[str, str]) -> int:
    """
    Run both until the server ends or we are told to stop; the server's own exit code.

    INT and TERM are passed on as they came, so the server stops at once or when its visitors are
    served, and the worker when it is done with what it is at. A second one ends what is left.
    """
    asked: list[int] = []
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, lambda number, _: asked.append(number))
    serving = begin(server, environment)
    beside = Worker(worker, environment)
    while serving.poll() is None and not asked:
        beside.look_after(time.monotonic())
        time.sleep(LOOK_SECONDS)
    _send(serving, asked[0] if asked else signal.SIGTERM)
    if beside.process:
        _send(beside.process, signal.SIGTERM)
    _wait([serving, *([beside.process] if beside.process else [])], asked)
    code = serving.returncode
    return code if code >= 0 else 128 - code


def _wait(left: list[subprocess.Popen[bytes]], asked: Sequence[int]) -> None:
    """Wait until all are gone; for good once their grace is over, or on the second word."""
    until = time.monotonic() + GRACE_SECONDS
    while left := [process for process in left if process.poll() is None]:
        if len(asked) > 1 or time.monotonic() > until:
            for process in left:
                _send(process, signal.SIGKILL)
        time.sleep(0.05)


def _send(process: subprocess.Popen[bytes], number: int) -> None:
    with suppress(ProcessLookupError):
        process.send_signal(number)


def worker_command() -> list[str | os.PathLike[str]]:
    """The package's own worker."""
    return [PYTHON, ROOT / WORKER[0], *WORKER[1:]]
