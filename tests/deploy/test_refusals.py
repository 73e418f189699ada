"""What `./deploy/start` refuses: in one sentence, and leaving nothing half made."""

import shutil
import socket
import subprocess
from pathlib import Path

import pytest

from tests.deploy.served import ROOT, environment, free_port


def start(*options: str, root: Path = ROOT, **variables: str) -> subprocess.CompletedProcess[str]:
    command = [root / "deploy" / "start", *options]
    return subprocess.run(
        command, env=environment(**variables), capture_output=True, text=True, timeout=120
    )


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """A folder with what a start needs before Django comes in."""
    shutil.copytree(ROOT / "deploy", tmp_path / "deploy")
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    return tmp_path


def assert_refused(done: subprocess.CompletedProcess[str], *words: str) -> None:
    assert done.returncode != 0
    assert len(done.stderr.splitlines()) == 1, done.stderr
    assert all(word in done.stderr for word in words), done.stderr


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--ports"], "--ports"),
        (["extra"], "extra"),
        (["--port", "many"], "'many'"),
        (["--port", "70000"], "'70000'"),
        (["--port", "0"], "'0'"),
    ],
)
def test_a_bad_option_is_said_in_a_sentence(options, words):
    assert_refused(start(*options), words, "./deploy/start --help")


def test_help_names_the_options():
    done = start("--help")
    assert done.returncode == 0
    assert "--empty" in done.stdout
    assert "--port" in done.stdout


def test_a_taken_port_is_refused_before_anything_is_made(copy):
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        door.listen()
        port = str(door.getsockname()[1])
        assert_refused(start("--port", port, root=copy), port, "--port")
    assert not (copy / ".venv").exists()
    assert not (copy / "var").exists()


def test_an_old_python_is_refused(copy, tmp_path_factory):
    tools = tmp_path_factory.mktemp("tools")
    for tool in ("sh", "dirname"):
        (tools / tool).symlink_to(shutil.which(tool))
    old = tools / "python3"
    old.write_text('#!/bin/sh\n[ "$1" = --version ] && echo Python 3.9.2 && exit 0\nexit 1\n')
    old.chmod(0o755)
    assert_refused(start(root=copy, PATH=str(tools)), "3.11", "Python 3.9.2")
    old.unlink()
    assert_refused(start(root=copy, PATH=str(tools)), "3.11", "none")
    assert not (copy / ".venv").exists()


@pytest.mark.slow
def test_without_a_network_nothing_stays_half_made(copy):
    cut_off = {
        "PIP_INDEX_URL": "http://127.0.0.1:9/simple",
        "PIP_EXTRA_INDEX_URL": "",
        "PIP_FIND_LINKS": "",
        "PIP_CONFIG_FILE": "/dev/null",
        "PIP_RETRIES": "0",
    }
    done = start("--port", str(free_port()), root=copy, **cut_off)
    assert_refused(done, "network")
    assert not (copy / ".venv").exists()
    assert not (copy / "var").exists()


def test_a_place_that_cannot_be_written_is_named():
    place = "/proc/teamops"  # not even the administrator makes a folder there
    done = start("--port", str(free_port()), VAR_DIR=place)
    assert_refused(done, f"Cannot write {place}")
