"""`./deploy/start` as people run it: what it says, where it serves, how it is stopped."""

import os
import re
import socket
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
SETTINGS = {
    "DATABASE_URL",
    "DEBUG",
    "DJANGO_SETTINGS_MODULE",
    "HTTPS",
    "PUBLIC_URL",
    "SECRET_KEY",
    "TESTING",
}


def free_port() -> int:
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        return door.getsockname()[1]


def environment(**more: str) -> dict[str, str]:
    """This machine's variables without the tests' own settings."""
    return {name: value for name, value in os.environ.items() if name not in SETTINGS} | more


@dataclass
class Served:
    """A server that is up, and what was said until then."""

    url: str
    said: str
    process: subprocess.Popen[str]

    @property
    def link(self) -> str:
        """The address that signs the demo's owner in."""
        found = re.search(r"once: (\S+)", self.said)
        assert found, self.said
        return found[1]


@contextmanager
def served(var: Path, *options: str, faultless: bool = True) -> Iterator[Served]:
    """Start it on a free port with its data in `var`; stop it afterwards and see that it went."""
    port = free_port()
    process = subprocess.Popen(
        [ROOT / "deploy" / "start", "--port", str(port), *options],
        env=environment(VAR_DIR=str(var)),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    try:
        said = ""
        for line in process.stdout or ():
            said += line
            if line.startswith("Teamops is up"):
                break
        else:
            raise AssertionError(f"It ended without serving:\n{said}")
        yield Served(f"http://127.0.0.1:{port}", said, process)
    finally:
        process.terminate()
        rest = process.communicate(timeout=40)[0]
        assert not faultless or "Traceback" not in rest, rest
    assert process.returncode == 0
