"""The door of a list behind a link: no account, no cookie, one list, until it is taken back."""

from collections.abc import Callable
from functools import wraps
from typing import Any, Concatenate, ParamSpec

from django.core.cache import cache
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.csrf import csrf_exempt

from teamops.teams.access import LOOKS
from teamops.teams.actions.list_links import may_give
from teamops.teams.models import ListLink, Team
from teamops.web.pages import open_view

A_MINUTE = 60
PRESSES = 120  # a minute and a link: more than two pairs of thumbs make

P = ParamSpec("P")
LinkedView = Callable[Concatenate[HttpRequest, ListLink, P], HttpResponse]


def linked_view(kind: ListLink.Kind) -> Callable[[LinkedView], Callable[..., HttpResponse]]:
    """
    Find the link by the secret in the address, 404 if it is wrong or was taken back.

    The secret is all that a press needs: no cookie goes along, so there is nothing that another
    site's form could borrow, and none is set. The address is kept from other sites (no referrer),
    from caches and from robots. Presses are counted, a minute at a time: 429 beyond PRESSES.
    """

    def door(view: LinkedView) -> Callable[..., HttpResponse]:
        @wraps(view)
        def enter(request: HttpRequest, token: str, **rest: Any) -> HttpResponse:
            link = find_link(token, kind)
            if request.method == "POST" and too_many(f"link-{link.token_hash}", PRESSES):
                return HttpResponse("Too many presses: wait a minute.\n", status=429)
            try:
                with timezone.override(link.team.zone):
                    answer = view(request, link, **rest)
            finally:
                if request.method not in LOOKS:
                    Team.objects.filter(pk=link.team_id).restamp()
            answer["Referrer-Policy"] = "no-referrer"
            answer["X-Robots-Tag"] = "noindex, nofollow"
            answer.setdefault("Cache-Control", "private, no-store")
            return answer

        return csrf_exempt(open_view(enter))

    return door


def find_link(token: str, kind: ListLink.Kind) -> ListLink:
    """The link of this secret, with its day of last use noted; Http404 if there is none.

    A link whose maker left the team, or may not give it any more, is none.
    """
    link = ListLink.find(token, kind)
    if link is None or not may_give(link):
        raise Http404("No such list.")
    today = timezone.localdate(timezone=link.team.zone)
    if link.last_used_on != today:
        ListLink.objects.filter(pk=link.pk).update(last_used_on=today)
    return link


def require_tick(link: ListLink) -> None:
    """Refuse (PermissionDenied, 403) a press through a link that only shows."""
    if link.may != ListLink.May.TICK:
        raise PermissionDenied("This link shows the list; it does not tick it.")


def too_many(key: str, most: int) -> bool:
    """Whether this is beyond the most in this minute; a modest guard, not an exact one."""
    cache.add(key, 0, A_MINUTE)
    try:
        return cache.incr(key) > most
    except ValueError:  # the minute ended between the two
        return False
