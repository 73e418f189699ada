"""Long work of judging: done by the worker beside the server, or at once where it is short."""

import logging
import time
from collections.abc import Callable
from uuid import UUID

from django.core.exceptions import ValidationError
from django_tasks import task

from teamops.judging.actions.exchange import fail_import, hear_import, start_import
from teamops.judging.imports import take_in
from teamops.judging.queries.exchange import WRITING
from teamops.teams.models import ImportBatch, User

logger = logging.getLogger(__name__)

LISTEN_SECONDS = 0.3  # between two notes of how far it is
BROKEN = (
    "Something went wrong on our side, so nothing was taken in. Press again; if it stays so, tell"
    " whoever looks after this server: the reason stands in its log."
)


@task()
def take_in_batch(batch_id: str, by_id: int) -> None:
    """Take in what waits in line under this id; see `run_import`."""
    run_import(UUID(batch_id), by_id)


def run_import(pk: UUID, by_id: int) -> None:
    """
    Take a queued import in, whole or not at all, and say how it went.

    Does nothing for one that is not in line: somebody else has it, or has done it.
    """
    if not start_import(pk):
        return
    batch = ImportBatch.objects.select_related("team").get(pk=pk)
    try:
        take_in(batch=batch, by=User.objects.get(pk=by_id), progress=_listener(pk))
    except ValidationError as refusal:
        fail_import(pk, refusal.messages)
    except Exception:
        logger.exception("Import %s was not taken in.", pk)
        fail_import(pk, [BROKEN])


def _listener(pk: UUID) -> Callable[[int, int], None]:
    """Notes how far an import is, now and then."""
    noted_at = -LISTEN_SECONDS

    def hear(done: int, rows: int) -> None:
        nonlocal noted_at
        now = time.monotonic()
        if now - noted_at >= LISTEN_SECONDS or done >= WRITING * rows:
            noted_at = now
            hear_import(pk, done)

    return hear
