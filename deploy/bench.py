"""
Measure the heavy pages beside an empty one, and say whether they keep within their goals.

Runs on SQLite (a file), then on PostgreSQL where a server answers (TEST_DATABASE_URL names one).
Milliseconds are those of this machine; the goals are ratios. A page must also ask as many queries
on much data as on little. The effect of a change stands beside a statistics package's fit of the
same sheets. Ends with 1 if a goal was missed.
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict
from pathlib import Path

from deploy.environment import stop_on_term
from tests.bench.harness import Measured, compare

ROOT = Path(__file__).resolve().parent.parent
CASES = (
    *("season", "season1", "ledger", "better", "scores", "marks", "board", "tick", "paper"),
    *("change", "changes"),
    *("change5", "change12", "change30", "change200"),
)
COLUMNS = "{:<28}{:<12}{:>11}{:>11}{:>9}{:>8}{:>9}  {}"
HEAD = ("Case", "Database", "Ours", "Baseline", "Ratio", "Goal", "Queries", "Met")


def options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="./deploy/bench", description=__doc__)
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.add_argument("--json", type=Path, help="write the numbers there as well")
    parser.add_argument("--only", choices=CASES, help="measure one case")
    parser.add_argument("--here", action="store_true", help=argparse.SUPPRESS)
    return parser.parse_args()


def databases() -> Iterator[dict[str, str]]:
    """The variables that choose a database: SQLite, then a PostgreSQL server if one answers."""
    yield {"TEST_DATABASE_URL": ""}
    finder = [sys.executable, ROOT / "deploy" / "postgres.py"]
    found = subprocess.run(finder, capture_output=True, text=True, check=False)
    if found.returncode:
        print("PostgreSQL: skipped, no server lets us in; TEST_DATABASE_URL names one.")
    else:
        address, name = found.stdout.splitlines()
        print(f"Using {name}.", flush=True)
        yield {"TEST_DATABASE_URL": address}


def each_database(asked: argparse.Namespace) -> list[dict[str, object]]:
    """Measure on every database, each in a process of its own."""
    print(COLUMNS.format(*HEAD), flush=True)
    found: list[dict[str, object]] = []
    for chosen in databases():
        with tempfile.TemporaryDirectory(prefix="teamops-bench-") as scratch:
            numbers = Path(scratch) / "numbers.json"
            only = ["--only", asked.only] if asked.only else []
            command = [sys.executable, "-m", "deploy.bench", "--here", "--json", numbers, *only]
            variables = {"DJANGO_SETTINGS_MODULE": "tests.settings", "VAR_DIR": scratch}
            # threads that wait for one another on a busy machine would flatter us
            variables["OPENBLAS_NUM_THREADS"] = "1"
            subprocess.run(command, env=os.environ | variables | chosen, cwd=ROOT, check=True)
            found += json.loads(numbers.read_text())
    return found


@contextmanager
def database() -> Iterator[str]:
    """A fresh database of the kind that the settings name; the kind."""
    import django
    from django.conf import settings
    from django.db import connection
    from django.test.utils import setup_databases, teardown_databases

    if settings.DATABASES["default"]["ENGINE"].endswith("sqlite3"):
        file = Path(settings.VAR_DIR) / "bench.sqlite3"
        settings.DATABASES["default"]["TEST"] = {"NAME": str(file)}
    django.setup()
    made = setup_databases(verbosity=0, interactive=False)
    try:
        yield connection.vendor
    finally:
        teardown_databases(made, verbosity=0)


def measure(only: str | None) -> list[Measured]:
    """Every case, or one, on the database of this process."""
    found = []
    with database() as vendor:
        from tests.bench.cases import build, queries

        for case in build(only):
            counts = queries(case.ours), queries(case.small) if case.small else None
            goal = case.goal.on(vendor)
            one = compare(case.name, vendor, case.ours, case.baseline, goal, counts)
            print(row(one), flush=True)
            found.append(one)
    return found


def row(one: Measured) -> str:
    queries = str(one.queries)
    if one.queries_on_little not in (None, one.queries):
        queries = f"{one.queries_on_little} → {one.queries}"
    return COLUMNS.format(
        one.name,
        one.database,
        f"{one.ours_ms:.2f} ms",
        f"{one.baseline_ms:.2f} ms",
        f"{one.ratio:.3g}",
        f"{one.goal:.3g}",
        queries,
        "yes" if one.met else "NO",
    )


def main() -> None:
    asked = options()
    stop_on_term()
    if asked.here:
        numbers = [asdict(one) for one in measure(asked.only)]
    else:
        numbers = each_database(asked)
    if asked.json:
        asked.json.write_text(json.dumps(numbers, indent=1) + "\n")
    missed = [f"{one['name']} on {one['database']}" for one in numbers if not one["met"]]
    if asked.here:
        return
    print(f"Missed: {', '.join(missed)}." if missed else "Every goal is met.")
    sys.exit(1 if missed else 0)


if __name__ == "__main__":
    main()
