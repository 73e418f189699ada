"""Run a module inside the environment, which is made first if need be."""

import os
import sys

from environment import PYTHON, ROOT, Refusal, make, refuse, stop_on_term

if __name__ == "__main__":
    stop_on_term()
    try:
        make(tests=True)
    except Refusal as reason:
        refuse(reason)
    variables = os.environ | {"PYTHONPATH": str(ROOT)}
    os.execve(PYTHON, [str(PYTHON), "-m", *sys.argv[1:]], variables)  # noqa: S606
