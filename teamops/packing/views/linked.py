"""A packing list behind a link, and the page that gives one."""

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from teamops.packing import actions, queries
from teamops.packing.forms import BoardForm, TickForm
from teamops.packing.models import PackingLine, PackingList
from teamops.packing.stages import Stage
from teamops.packing.views.lists import GET_OR_POST, find_list
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.linked import linked_view, require_tick
from teamops.teams.models import ListLink
from teamops.teams.roles import Permission
from teamops.teams.views.list_links import share_page

Kind = ListLink.Kind


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def share_list(request: TeamRequest, pk: UUID) -> HttpResponse:
    """A link to a packing list."""
    packing_list = find_list(request, pk)
    back = reverse("packing:show_list", args=[request.team.slug, pk])
    title = f"Packing list: {packing_list.title}"
    return share_page(request, kind=Kind.PACKING, object_id=pk, title=title, back=back)


@require_GET
@linked_view(Kind.PACKING)
def show_load(request: HttpRequest, link: ListLink) -> HttpResponse:
    """A packing list, for whoever has the link."""
    packing_list = get_object_or_404(PackingList.objects.for_team(link.team), pk=link.object_id)
    form = BoardForm(request.GET)
    form.is_valid()
    asked, left = form.cleaned_data.get("stage"), bool(form.cleaned_data.get("left"))
    board = queries.packing_board(
        packing_list,
        link.team.units,
        Stage(asked) if asked else None,
        only_left=left,
        may_press=link.may == ListLink.May.TICK,
    )
    page = {"link": link, "board": board, "only_left": left}
    return render(request, "packing/linked.html", page)


@require_POST
@linked_view(Kind.PACKING)
def tick_load(request: HttpRequest, link: ListLink) -> HttpResponse:
    """Tick a line, or untick it; a line keeps people only, so it says who gave the link."""
    require_tick(link)
    form = TickForm(request.POST)
    if not form.is_valid() or link.object_id is None:
        return HttpResponseBadRequest("No such line.")
    asked = form.cleaned_data
    try:
        actions.tick_line(
            team=link.team, list_id=link.object_id, line_id=asked["line"], stage=asked["stage"],
            on=asked["on"], by=link.made_by,
        )  # fmt: skip
    except PackingLine.DoesNotExist as missing:
        raise Http404("No such line.") from missing
    query = {"stage": asked["stage"].value} | ({"left": "1"} if asked["left"] else {})
    return redirect(f"../?{urlencode(query)}#line-{asked['line']}")
