"""
Run every check of this project and say at the end what ran, what was skipped and why.

Makes .venv with the test extras first. The suite runs on SQLite, on PostgreSQL where a server
answers (TEST_DATABASE_URL names one, else the usual places on this machine are asked), and in
Chromium where there is one. A failure does not stop the rest.
"""

import argparse
import json
import os
import re
import secrets
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass

from environment import (
    CONSTRAINTS,
    PYTHON,
    ROOT,
    VENV,
    Refusal,
    make,
    pinned,
    plain_name,
    quietly,
    refuse,
    say,
    stop,
    stop_on_term,
)

CLOSING = re.compile(r"^=* ?(\d+ (?:passed|failed|error|skipped|deselected).* in [\d.]+s.*?) ?=*$")
OURS = (
    "DATABASE_URL",
    "DEBUG",
    "ALLOWED_HOSTS",
    "HTTPS",
    "TRUSTED_PROXIES",
    "EMAIL_URL",
    "MAIL_FROM",
)
PINNED = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*==[0-9][A-Za-z0-9.!]*")
PYTEST = ["-m", "pytest", "-p", "tests.sources"]
WEEKEND = "test_a_newcomers_first_weekend[phone]"  # the desk walks it on SQLite
SIDE_BY_SIDE = ("-n", str(max(os.cpu_count() or 2, 2)), "--dist", "worksteal")
# Tables straight from the models: the migrations take seconds a worker. They are run in earnest
# by the tests of ./deploy/start (SQLite) and by the season in a browser (PostgreSQL).
TABLES = "--no-migrations"
# Asked once, on SQLite: what knows no database, and the doors, which are the same before any.
ONCE = ("tests/calc", "tests/paper", "tests/tabular", "tests/test_access.py", "tests/deploy")


@dataclass
class Outcome:
    """How one check went: "ok", "FAILED" or "skipped", and what there is to say about it."""

    state: str
    note: str = ""
    seconds: float = 0.0


def options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="./deploy/check", description=__doc__)
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.add_argument("--all", action="store_true", help="count anything skipped as a failure")
    parser.add_argument("--fast", action="store_true", help="leave out PostgreSQL and the browser")
    parser.add_argument("--sources", action="store_true", help="only list the outside checks")
    return parser.parse_args()


class Checks:
    """The checks in turn, each with its outcome."""

    def __init__(self, scratch: str) -> None:
        self.outcomes: dict[str, Outcome] = {}
        kept = {name: value for name, value in os.environ.items() if name not in OURS}
        self.test_database = kept.pop("TEST_DATABASE_URL", "")
        self.environment = kept | {"VAR_DIR": scratch, "SECRET_KEY": secrets.token_urlsafe(50)}

    def do(self, name: str, check: Callable[[], Outcome]) -> None:
        say(f"\n── {name} " + "─" * max(3, 76 - len(name)))
        begun = time.monotonic()
        outcome = check()
        outcome.seconds = time.monotonic() - begun
        self.outcomes[name] = outcome
        if outcome.state != "ok":
            say(f"{outcome.state}: {outcome.note}")

    def python(self, *arguments: str, **more: str) -> Outcome:
        """Run the environment's Python, show what it prints, and keep pytest's closing line."""
        command = [str(PYTHON), *arguments]
        closing = ""
        with subprocess.Popen(
            command,
            cwd=ROOT,
            env=self.environment | more,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            start_new_session=True,
            text=True,
            errors="replace",
        ) as process:
            try:
                for line in process.stdout or ():
                    print(line, end="", flush=True)
                    if found := CLOSING.match(line.strip()):
                        closing = found[1]
                process.wait()
            except BaseException:
                stop(process)
                raise
        return Outcome("FAILED" if process.returncode else "ok", closing)

    def postgres(self) -> tuple[str, str] | Outcome:
        """The address of a server for the tests and its name, or why there is none."""
        named = {"TEST_DATABASE_URL": self.test_database} if self.test_database else {}
        found = quietly([PYTHON, ROOT / "deploy" / "postgres.py"], env=self.environment | named)
        if found.returncode == 0:
            address, name = found.stdout.splitlines()
            return address, name
        say(found.stderr.strip())
        return Outcome("skipped", "no PostgreSQL server lets us in; TEST_DATABASE_URL names one")


def lint(checks: Checks) -> None:
    checks.do("format", lambda: checks.python("-m", "ruff", "format", "--check", "."))
    checks.do("lint", lambda: checks.python("-m", "ruff", "check", "."))
    checks.do("templates", lambda: checks.python("-m", "djlint", "--lint", "--quiet", "templates"))
    checks.do("types", lambda: checks.python("-m", "mypy", "teamops"))
    checks.do("constraints", constraints)


def settings(checks: Checks) -> None:
    missing = ("manage.py", "makemigrations", "--check", "--dry-run")
    checks.do("migrations", lambda: checks.python(*missing))
    secure = ("manage.py", "check", "--deploy", "--fail-level", "WARNING")
    https = {"HTTPS": "1", "PUBLIC_URL": "https://teamops.example"}
    checks.do("deployment", lambda: checks.python(*secure, **https))


def suites(checks: Checks, *, fast: bool) -> None:
    """The tests on each database, apart from those in a browser: its event loop would stay.

    What knows no database is asked once (`tests/again.py`), and so is who may open which page.
    """
    suite = (*PYTEST, "-q", *SIDE_BY_SIDE, TABLES, "--ignore=tests/browser")
    checks.do("tests on SQLite", lambda: checks.python(*suite))
    found = Outcome("skipped", "left out by --fast") if fast else checks.postgres()
    if isinstance(found, Outcome):
        checks.do("tests on PostgreSQL", lambda: found)
    else:
        address, name = found
        say(f"\nUsing {name}.")
        named = {"TEST_DATABASE_URL": address}
        rooms = (f"--ignore={room}" for room in ONCE)
        again = (*suite, *rooms, "-p", "tests.again", "--create-db")
        checks.do("tests on PostgreSQL", lambda: checks.python(*again, **named))
    browser(checks, found, fast=fast)


def browser(checks: Checks, found: tuple[str, str] | Outcome, *, fast: bool) -> None:
    """The tests in Chromium on SQLite; the one that walks a whole season on PostgreSQL too."""
    season = "tests/browser/test_season.py"
    missing = None
    if fast:
        missing = Outcome("skipped", "left out by --fast")
    elif not any(map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))):
        missing = Outcome("skipped", "there is no Chromium on this machine")
    command = (*PYTEST, "-q", *SIDE_BY_SIDE)
    on_sqlite = (*command, TABLES, "tests/browser")
    checks.do("browser on SQLite", lambda: missing or checks.python(*on_sqlite))
    if (ROOT / season).exists():
        if isinstance(found, Outcome):
            missing = missing or Outcome(found.state, found.note)
            named = {}
        else:
            named = {"TEST_DATABASE_URL": found[0]}
        on_server = (*PYTEST, "-q", "--create-db", f"{season}::{WEEKEND}")
        checks.do("browser on PostgreSQL", lambda: missing or checks.python(*on_server, **named))


def constraints() -> Outcome:
    """Hold the pinned versions against what is installed, and to plain names and versions."""
    lines = CONSTRAINTS.read_text().splitlines()
    faults = [f"no plain pin: {line}" for line in lines if line and not _is_plain(line)]
    listing = (
        "import importlib.metadata as m, json;"
        "print(json.dumps({d.name: d.version for d in m.distributions()}))"
    )
    found = json.loads(quietly([PYTHON, "-c", listing], cwd=VENV).stdout)
    apart = {"pip", "setuptools", "wheel", "teamops"}
    installed = {plain_name(name): version for name, version in found.items()}
    wanted = {} if faults else pinned()
    for name in sorted((installed.keys() | wanted.keys()) - apart):
        here, there = installed.get(name, "absent"), wanted.get(name, "absent")
        if here != there and not faults:
            faults.append(f"{name}: installed {here}, pinned {there}")
    print(*faults, sep="\n")
    if faults:
        return Outcome(
            "FAILED", f"{len(faults)} differences; a fresh .venv tells which side is right"
        )
    return Outcome("ok", f"{len(wanted)} packages as pinned")


def _is_plain(line: str) -> bool:
    return "://" not in line if line.startswith("#") else bool(PINNED.fullmatch(line))


def report(outcomes: dict[str, Outcome], *, strict: bool) -> bool:
    """Print the table of what ran; True if nothing failed (nor was skipped, where strict)."""
    say(f"\n{'What':<24}{'Result':<10}{'Seconds':>8}  Notes")
    for name, outcome in outcomes.items():
        say(f"{name:<24}{outcome.state:<10}{outcome.seconds:8.1f}  {outcome.note}")
    failed = [name for name, outcome in outcomes.items() if outcome.state == "FAILED"]
    skipped = [name for name, outcome in outcomes.items() if _skipped(outcome)]
    say(f"{'In all':<34}{sum(outcome.seconds for outcome in outcomes.values()):8.1f}")
    if failed:
        say(f"Failed: {', '.join(failed)}.")
    if skipped:
        say(f"Skipped, or with tests that were: {', '.join(skipped)}.")
    if strict and skipped:
        say("Nothing may be skipped under --all.")
    return not failed and not (strict and skipped)


def _skipped(outcome: Outcome) -> bool:
    return outcome.state == "skipped" or bool(re.search(r"\d+ skipped", outcome.note))


def main() -> None:
    asked = options()
    stop_on_term()
    begun = time.monotonic()
    try:
        make(tests=True)
    except Refusal as reason:
        refuse(reason)
    with tempfile.TemporaryDirectory(prefix="teamops-check-") as scratch:
        checks = Checks(scratch)
        if asked.sources:
            listing = (*PYTEST, "--sources", "--collect-only", "-qq", "-m", "outside")
            sys.exit(checks.python(*listing).state != "ok")
        checks.outcomes["environment"] = Outcome("ok", str(VENV), time.monotonic() - begun)
        lint(checks)
        settings(checks)
        suites(checks, fast=asked.fast)
    sys.exit(not report(checks.outcomes, strict=asked.all))


if __name__ == "__main__":
    main()
