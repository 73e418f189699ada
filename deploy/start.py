"""
Set Teamops up in this folder and serve it on this machine.

The first time it makes .venv, a signing key, the database with a demo season, and the static
files; later it brings them up to date and keeps every record. A worker for long imports runs
beside the server. Ctrl-C stops both.
"""

import argparse
import fcntl
import os
import secrets
import shutil
import socket
import sqlite3
import sys
from contextlib import closing
from pathlib import Path
from typing import IO, NoReturn

from environment import (
    PYTHON,
    ROOT,
    Refusal,
    make,
    refuse,
    run,
    say,
    service_environment,
    stop_on_term,
    writing,
)
from serving import serve, worker_command

HOST = "127.0.0.1"


class Options(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        refuse(f"{message[0].upper()}{message[1:]}. Try ./deploy/start --help.")


def options() -> argparse.Namespace:
    parser = Options(prog="./deploy/start", description=__doc__, allow_abbrev=False)
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.add_argument("--port", type=_port, default=8000, help="serve there instead of on 8000")
    parser.add_argument("--empty", action="store_true", help="start without the demo season")
    return parser.parse_args()


def _port(text: str) -> int:
    if text.isascii() and text.isdigit() and 1 <= int(text) <= 65535:
        return int(text)
    raise argparse.ArgumentTypeError(f"a port is a number from 1 to 65535, not {text!r}")


def look_for_room(port: int) -> None:
    """Refuse at once if the server could not listen there in the end."""
    with socket.socket() as door:
        door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            door.bind((HOST, port))
            door.listen()
        except PermissionError as error:
            raise Refusal(
                f"Port {port} is kept for the administrator; take one above 1023."
            ) from error
        except OSError as error:
            raise Refusal(
                f"Port {port} is taken: stop what serves there, or choose another with --port."
            ) from error


def lock() -> IO[str]:
    """Wait for our turn to set up this folder; whoever holds the file holds the lock."""
    file = (ROOT / "pyproject.toml").open()
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        say("Another start is setting up this folder; waiting until it is done.")
        fcntl.flock(file, fcntl.LOCK_EX)
    return file


def prepare(var: Path, environment: dict[str, str], *, empty: bool) -> None:
    """Bring key, database and static files up to date, or leave no trace of a first try."""
    made = [var] if not var.exists() else []
    try:
        with writing(var):
            var.mkdir(mode=0o700, parents=True, exist_ok=True)
            made += write_key(var / "secret-key", environment)
            fill_database(var, environment, empty=empty)
    except BaseException:
        for path in made:
            shutil.rmtree(path, ignore_errors=True) if path.is_dir() else path.unlink(
                missing_ok=True
            )
        raise


def write_key(path: Path, environment: dict[str, str]) -> list[Path]:
    """Write the key that signs sessions and links, for the owner's eyes only, if there is none."""
    if path.exists() or environment.get("SECRET_KEY"):
        return []
    say(f"Writing a signing key to {path}.")
    with os.fdopen(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "w") as file:
        file.write(secrets.token_urlsafe(50) + "\n")
    return [path]


def fill_database(var: Path, environment: dict[str, str], *, empty: bool) -> None:
    """
    Migrate the database; a new SQLite file takes its name only when it is complete.

    The demo season is loaded into a new database only: later starts keep what is there.
    """
    command = [PYTHON, ROOT / "deploy" / "prepare.py", *(["--empty"] if empty else [])]
    database, growing = var / "teamops.sqlite3", var / "teamops.sqlite3.new"
    first = not environment.get("DATABASE_URL") and not database.exists()
    if first:
        _clear(growing)
        environment = environment | {"DATABASE_URL": f"sqlite:///{growing}"}
    try:
        if run(command, env=environment, cwd=ROOT).returncode:
            raise Refusal("So Teamops could not be made ready; nothing was changed.")
        if first:
            with closing(sqlite3.connect(growing)) as file:
                file.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            growing.rename(database)
    finally:
        if first:
            _clear(growing)


def _clear(database: Path) -> None:
    for ending in ("", "-wal", "-shm"):
        Path(f"{database}{ending}").unlink(missing_ok=True)


def server_command(port: int) -> list[str | os.PathLike[str]]:
    """The server, on this machine alone."""
    configuration = ROOT / "deploy" / "gunicorn.conf.py"
    own = ["-m", "gunicorn", "-c", configuration, "-b", f"{HOST}:{port}", "teamops.wsgi"]
    return [PYTHON, *own]


def main() -> None:
    asked = options()
    stop_on_term()
    var = Path(os.environ.get("VAR_DIR") or ROOT / "var").resolve()
    address = os.environ.get("PUBLIC_URL") or f"http://{HOST}:{asked.port}"
    environment = service_environment(VAR_DIR=str(var), PUBLIC_URL=address)
    try:
        look_for_room(asked.port)
        with lock():
            make(tests=False)
            prepare(var, environment, empty=asked.empty)
    except Refusal as reason:
        refuse(reason)
    except KeyboardInterrupt:
        refuse("Stopped before it was ready; start again whenever you like.")
    sys.exit(serve(server_command(asked.port), worker_command(), environment))


if __name__ == "__main__":
    main()
