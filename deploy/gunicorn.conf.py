"""How gunicorn serves Teamops; the address comes from the command line."""

import os
from typing import Any

workers = int(os.environ.get("WEB_WORKERS", "3"))
threads = int(os.environ.get("WEB_THREADS", "4"))
timeout = 60
graceful_timeout = 20
max_requests = 10_000  # a worker starts afresh now and then, not all at the same moment
max_requests_jitter = 1_000
control_socket_disable = True  # it wants a home it can write to
accesslog = None
loglevel = "warning"


def when_ready(server: Any) -> None:
    """Say where it serves, once it does."""
    print(
        f"Teamops is up at {os.environ.get('PUBLIC_URL', 'its address')}/ (Ctrl-C stops it).",
        flush=True,
    )
