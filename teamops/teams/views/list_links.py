"""Links to one list: made on the list's own page, shown once, renewed and taken back."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from teamops.teams.access import TeamRequest, team_view
from teamops.teams.actions.list_links import make_link
from teamops.teams.actions.list_links import renew_link as renew
from teamops.teams.actions.list_links import revoke_link as revoke
from teamops.teams.link_forms import ShareForm
from teamops.teams.models import ListLink
from teamops.teams.qr import qr_svg
from teamops.teams.roles import Permission

NEW_LINK = "list link"


def share_page(
    request: TeamRequest, *, kind: ListLink.Kind, object_id: UUID, title: str, back: str
) -> HttpResponse:
    """
    A list's links: whom there are any for, one more, and the new one shown once.

    The app that owns the list calls this from a view that has looked the list up; `back` is the
    address of the list's own page.
    """
    form = ShareForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        asked = form.cleaned_data
        link, address = make_link(
            team=request.team, kind=kind, object_id=object_id, label=asked["label"],
            may=ListLink.May(asked["may"]), by=request.user,
        )  # fmt: skip
        keep_new_link(request, link, address)
        return redirect(f"{request.path}#new-link")
    links = live_links(request).filter(kind=kind, object_id=object_id)
    page = {"form": form, "links": links, "title": title, "back": back, **new_link(request)}
    answer = render(request, "teams/links_share.html", page, status=422 if form.errors else 200)
    answer["Cache-Control"] = "private, no-store"
    return answer


def live_links(request: TeamRequest) -> Any:
    """The team's links that still work."""
    rows = ListLink.objects.for_team(request.team).filter(revoked_at=None)
    return rows.select_related("made_by")


def keep_new_link(request: HttpRequest, link: ListLink, address: str) -> None:
    """Keep a new address for the next page, which shows it once: only its hash is stored."""
    request.session[NEW_LINK] = {"address": address, "label": link.label}


def new_link(request: HttpRequest) -> dict[str, Any]:
    """The address that was just made, with its picture to scan; nothing the second time."""
    new = request.session.pop(NEW_LINK, None)
    return {"new": new, "code": qr_svg(new["address"]) if new else ""}


def _own(request: TeamRequest, pk: int) -> ListLink:
    return get_object_or_404(live_links(request), pk=pk)


@require_POST
@team_view(Permission.SEE)
@never_cache
def renew_link(request: TeamRequest, pk: int) -> HttpResponse:
    """A new secret for a link, shown once; the old address stops working."""
    link = _own(request, pk)
    keep_new_link(request, link, renew(link=link, by=request.user))
    return redirect(reverse("insight:show_links", args=[request.team.slug]) + "#new-link")


@require_POST
@team_view(Permission.SEE)
def revoke_link(request: TeamRequest, pk: int) -> HttpResponse:
    """Take a link back."""
    link = _own(request, pk)
    revoke(link=link, by=request.user)
    messages.success(request, f"Taken back: the link for {link.label} leads nowhere now.")
    return redirect("insight:show_links", request.team.slug)
