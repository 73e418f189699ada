"""The door of every team page: a stranger finds nothing, a member without the role is told so."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone
from django_htmx.middleware import HtmxDetails

from teamops.teams.models import Membership, Team, User
from teamops.teams.roles import Permission

LOOKS = ("GET", "HEAD", "OPTIONS")  # methods that change nothing


class TeamRequest(HttpRequest):
    """A request that has come through the door: it knows its team and the member's place."""

    team: Team
    membership: Membership
    user: User
    htmx: HtmxDetails


TeamView = Callable[..., HttpResponse]


def team_view(permission: Permission) -> Callable[[TeamView], Callable[..., HttpResponse]]:
    """
    Find `request.team` by membership (404 if none) and ask its role for `permission` (403).

    The first part of the address, the team's slug, is used up here; the view gets the rest. The
    team's own time zone is the clock until a view turns to a contest's. After anything but a look
    the team has another stamp.
    """

    def door(view: TeamView) -> Callable[..., HttpResponse]:
        @wraps(view)
        def enter(request: Any, team: str, **rest: Any) -> HttpResponse:
            places = Membership.objects.select_related("team")
            place = places.filter(team__slug=team, user=request.user).first()
            if place is None:
                raise Http404("No such team.")
            place.require(permission)
            request.team, request.membership = place.team, place
            place.user = request.user
            try:
                with timezone.override(place.team.zone):
                    return view(request, **rest)
            finally:
                if request.method not in LOOKS:
                    Team.objects.filter(pk=place.team_id).restamp()

        enter.access = permission  # type: ignore[attr-defined]
        return enter

    return door
