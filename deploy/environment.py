"""
The environment in .venv: pinned packages, put there once and known again by a stamp.

Runs on the machine's own Python, so it uses nothing but the standard library.
"""

import hashlib
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import tomllib
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from itertools import chain
from pathlib import Path
from typing import Any, NoReturn

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
PYTHON = VENV / "bin" / "python"
STAMP = VENV / "installed.json"
CONSTRAINTS = ROOT / "deploy" / "constraints.txt"


class Refusal(Exception):  # noqa: N818, as it is called when it is raised
    """Why it cannot go on, in a sentence for the person at the keyboard."""


def say(sentence: str) -> None:
    print(sentence, flush=True)


def refuse(reason: Refusal | str) -> NoReturn:
    print(reason, file=sys.stderr, flush=True)
    sys.exit(1)


def stop_on_term() -> None:
    """Turn TERM into an exception, so that what is half made is cleared away.

    A shell ignores INT for what it runs in the background, and the ignoring is passed on; it is
    heeded again here, and so by whatever is run from here.
    """
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(143))
    signal.signal(signal.SIGINT, signal.default_int_handler)


def run(command: Sequence[str | Path], **options: Any) -> subprocess.CompletedProcess[str]:
    """Run a command and give back how it ended; if we are stopped, it and its own are as well."""
    options = {"text": True, "stdin": subprocess.DEVNULL, "start_new_session": True} | options
    with subprocess.Popen([str(part) for part in command], **options) as process:
        try:
            out, err = process.communicate()
        except BaseException:
            stop(process)
            raise
    return subprocess.CompletedProcess(command, process.returncode, out, err)


def stop(process: subprocess.Popen[str]) -> None:
    """End a process and its own: first as Ctrl-C does, then for good."""
    with suppress(ProcessLookupError):
        os.killpg(process.pid, signal.SIGINT)
        try:
            process.wait(20)
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, signal.SIGKILL)


def quietly(command: Sequence[str | Path], **options: Any) -> subprocess.CompletedProcess[str]:
    """Run a command and keep what it says."""
    return run(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, **options)


@contextmanager
def writing(path: Path) -> Iterator[None]:
    """Put a refusal by the file system in words."""
    try:
        yield
    except OSError as error:
        where = error.filename or path
        raise Refusal(f"Cannot write {where}: {(error.strerror or str(error)).lower()}.") from error


def wanted(*, tests: bool) -> list[str]:
    """The requirements that pyproject.toml names; for the tests theirs too, and every extra's."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    extras: dict[str, list[str]] = project["optional-dependencies"] if tests else {}
    return [*project["dependencies"], *chain.from_iterable(extras.values())]


def pinned() -> dict[str, str]:
    """The exact version of every package, by its name as packages compare names."""
    lines = [line.partition("#")[0].strip() for line in CONSTRAINTS.read_text().splitlines()]
    pairs = [line.split("==") for line in lines if line]
    return {plain_name(name): version for name, version in pairs}


def plain_name(name: str) -> str:
    """The name as packages compare it: PyYAML and pyyaml, a_b and a.b are one."""
    return re.sub(r"[-_.]+", "-", name).lower()


def make(*, tests: bool) -> None:
    """
    Make .venv hold what is pinned, or raise Refusal and leave nothing half made.

    The stamp inside remembers what was put there, so the next time this takes no time.
    """
    stamps = _stamps()
    if stamps.get("tests") == _stamp(tests=True):
        return
    if not tests and stamps.get("service") == _stamp(tests=False):
        return
    ours = not VENV.exists()
    try:
        with writing(VENV):
            _install(tests=tests)
            stamps = {"service": _stamp(tests=False)}
            if tests:
                stamps["tests"] = _stamp(tests=True)
            STAMP.write_text(json.dumps(stamps, indent=1) + "\n")
    except BaseException:
        if ours:  # an environment that was there before is left as it is: it can be mended
            shutil.rmtree(VENV, ignore_errors=True)
        raise


def _install(*, tests: bool) -> None:
    if not _alive():
        say(f"Making a Python environment in {VENV} (Python {sys.version.split()[0]}).")
        VENV.mkdir(exist_ok=True)  # says plainly whether this folder can be written to
        made = quietly([sys.executable, "-m", "venv", "--clear", VENV])
        if made.returncode:
            raise Refusal(
                "Python could not make an environment here. On Debian and its kin, its part for"
                " that is a package of its own: install python3-venv, then try again."
            )
    needs = wanted(tests=tests)
    what = "the packages, and those for the tests" if tests else "the packages"
    say(f"Installing {what}, at the pinned versions. The first time takes a minute or two.")
    pip = [
        PYTHON,
        "-m",
        "pip",
        "--disable-pip-version-check",
        "--no-input",
        "install",
        "--quiet",
        "--no-compile",
    ]
    done = quietly([*pip, "-c", CONSTRAINTS, *needs])
    if done.returncode:
        raise Refusal(
            "The packages could not be installed. Most often that is the network: try again when"
            f" this machine reaches it. (pip said: {_first_error(done.stderr)})"
        )


def _alive() -> bool:
    """Tell whether .venv runs at all, on a Python that is new enough, and can install."""
    test = "import sys, pip; sys.exit(sys.version_info < (3, 11))"
    try:
        return quietly([PYTHON, "-c", test]).returncode == 0
    except OSError:
        return False


def _first_error(output: str) -> str:
    errors = [line.removeprefix("ERROR: ") for line in output.splitlines() if "ERROR: " in line]
    return next(iter(errors), "nothing")


def _stamps() -> dict[str, str]:
    """What was installed when; nothing if the environment does not run any more."""
    try:
        found: dict[str, str] = json.loads(STAMP.read_text())
    except (OSError, ValueError):
        return {}
    return found if _alive() else {}


def _stamp(*, tests: bool) -> str:
    named = "\n".join([*wanted(tests=tests), CONSTRAINTS.read_text()])
    return hashlib.sha256(named.encode()).hexdigest()


def service_environment(**more: str) -> dict[str, str]:
    """The variables for a Django command: this folder's settings, as in service."""
    settings = {"DJANGO_SETTINGS_MODULE": "teamops.settings", "DEBUG": "0", "TESTING": "0"}
    return os.environ | settings | {"PYTHONPATH": str(ROOT)} | more
