"""The server and the worker beside it: stopped together; the worker alone takes nothing along."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.deploy.served import ROOT

# A server and a worker that say who they are, and how they are told to stop.
PART = """
import pathlib, signal, sys, time
name, place, seconds, code = sys.argv[1], pathlib.Path(sys.argv[2]), *map(float, sys.argv[3:])
def heard(number, frame):
    (place / f"{name}.heard").write_text(signal.Signals(number).name)
    sys.exit(0)
signal.signal(signal.SIGTERM, heard)
signal.signal(signal.SIGINT, heard)
(place / f"{name}.{time.monotonic_ns()}.up").touch()
until = time.monotonic() + seconds
while time.monotonic() < until and not (place / f"{name}.end").exists():
    time.sleep(0.02)
sys.exit(int(code))
"""
BOTH = """
import sys
sys.path.insert(0, {deploy!r})
import serving
serving.WAIT_SECONDS = (0.1,)
part = [sys.executable, "-c", {part!r}]
place = {place!r}
server, worker = [*part, "server", place, *{server!r}], [*part, "worker", place, *{worker!r}]
sys.exit(serving.serve(server, worker, {{}}))
"""
LONG = ["60", "0"]


@pytest.fixture
def both(tmp_path):
    """Start both parts, each for so many seconds and with this exit code; all gone afterwards."""
    started = []

    def start(server=LONG, worker=LONG) -> subprocess.Popen[str]:
        code = BOTH.format(
            deploy=str(ROOT / "deploy"),
            part=PART,
            place=str(tmp_path),
            server=server,
            worker=worker,
        )
        process = subprocess.Popen(
            [sys.executable, "-c", code],
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        )  # fmt: skip
        started.append(process)
        return process

    yield start
    for process in started:
        process.kill()
        process.communicate()


def wait_for(true: Callable[[], object]) -> None:
    until = time.monotonic() + 20
    while not true():
        assert time.monotonic() < until, "it never came"
        time.sleep(0.02)


def ups(place: Path, name: str) -> int:
    return len(list(place.glob(f"{name}.*.up")))


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_one_word_stops_both(both, tmp_path, number):
    process = both()
    wait_for(lambda: ups(tmp_path, "server") and ups(tmp_path, "worker"))
    process.send_signal(number)
    said = process.communicate(timeout=20)[0]
    assert process.returncode == 0, said
    assert (tmp_path / "server.heard").read_text() == signal.Signals(number).name
    assert (tmp_path / "worker.heard").read_text() == "SIGTERM"
    assert said == ""


def test_a_worker_that_ends_takes_nothing_along_and_comes_back(both, tmp_path):
    process = both(worker=["0", "3"])
    wait_for(lambda: ups(tmp_path, "worker") >= 2)
    assert process.poll() is None, "the server went with it"
    process.terminate()
    said = process.communicate(timeout=20)[0]
    assert "The worker for long imports has stopped (code 3); the pages stay up." in said
    assert ups(tmp_path, "server") == 1


def test_the_servers_end_is_the_end_of_both(both, tmp_path):
    process = both(server=["60", "4"])
    wait_for(lambda: ups(tmp_path, "worker"))
    (tmp_path / "server.end").touch()
    assert process.wait(20) == 4
    assert (tmp_path / "worker.heard").read_text() == "SIGTERM"


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux ends children with their parent")
def test_killed_it_leaves_nobody_behind(both, tmp_path):
    process = both()
    wait_for(lambda: ups(tmp_path, "server") and ups(tmp_path, "worker"))
    os.kill(process.pid, signal.SIGKILL)
    wait_for(lambda: len(list(tmp_path.glob("*.heard"))) == 2)
