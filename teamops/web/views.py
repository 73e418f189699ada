"""Answers that belong to no team: is the server well, and what robots may read."""

import logging

from django.db import DatabaseError, connection
from django.http import HttpRequest, HttpResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from teamops.web.pages import open_view

log = logging.getLogger(__name__)


@require_safe
@open_view
@never_cache
def show_health(request: HttpRequest) -> HttpResponse:
    """Say "ok" if the database answers, else 503: for whatever watches over the server."""
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except DatabaseError:
        log.exception("The database does not answer")
        return HttpResponse("no database\n", status=503, content_type="text/plain")
    return HttpResponse("ok\n", content_type="text/plain")


@require_safe
@open_view
def show_robots(request: HttpRequest) -> HttpResponse:
    """Everything is behind a sign-in or a private link: no robot has business here."""
    return HttpResponse("User-agent: *\nDisallow: /\n", content_type="text/plain")
