from uuid import UUID

from django.http import Http404, HttpResponse, HttpResponseBadRequest
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_GET, require_POST
from django_htmx.http import trigger_client_event

from teamops.packing import actions, queries
from teamops.packing.forms import BoardForm, TickForm
from teamops.packing.models import PackingLine, PackingList
from teamops.packing.queries import ListState
from teamops.packing.queries.rows import LineFacts
from teamops.packing.stages import Stage
from teamops.packing.views.lists import find_list
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_GET
@team_view(Permission.SEE)
def show_list(request: TeamRequest, pk: UUID) -> HttpResponse:
    """The board: container by container, one big button a line for the stage at hand."""
    packing_list = find_list(request, pk)
    form = BoardForm(request.GET)
    form.is_valid()
    asked, left = form.cleaned_data.get("stage"), bool(form.cleaned_data.get("left"))
    stage = Stage(asked) if asked else None
    may_log = request.membership.may(Permission.LOG)
    page = {
        "board": queries.packing_board(
            packing_list, request.team.units, stage, only_left=left, may_press=may_log
        ),
        "packing_list": packing_list,
        "only_left": left,
        "may_log": may_log,
        "may_plan": request.membership.may(Permission.PLAN),
        "line_url": _line_url(request),
    }
    return render(request, "packing/list.html", page)


@require_GET
@team_view(Permission.SEE)
def show_news(request: TeamRequest, pk: UUID) -> HttpResponse:
    """What another phone ticked since `since`: 204 if nothing."""
    state = _state(request, pk)
    form = BoardForm(request.GET)
    if not form.is_valid() or form.cleaned_data["since"] is None:
        return HttpResponseBadRequest("Since when?")
    if state.state <= form.cleaned_data["since"]:
        return HttpResponse(status=204)
    stage = Stage(form.cleaned_data["stage"] or Stage.PACK)
    return _news(request, state, stage, form.cleaned_data["since"])


@require_POST
@team_view(Permission.LOG)
def set_line(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Tick a line for a stage, or untick it; htmx gets what is new since its last answer."""
    form = TickForm(request.POST)
    if not form.is_valid():
        _state(request, pk)
        return HttpResponseBadRequest("No such line.")
    asked = form.cleaned_data
    try:
        ticked = actions.tick_line(
            team=request.team, list_id=pk, line_id=asked["line"], stage=asked["stage"],
            on=asked["on"], by=request.user,
        )  # fmt: skip
    except PackingLine.DoesNotExist as missing:
        raise Http404("No such line.") from missing
    if request.htmx:
        since = asked["since"] if asked["since"] is not None else ticked.state.state - 1
        news = _news(request, ticked.state, asked["stage"], since, ticked.line)
        return trigger_client_event(news, "packing-changed")
    query = {"stage": asked["stage"].value} | ({"left": "1"} if asked["left"] else {})
    url = reverse("packing:show_list", args=[request.team.slug, pk])
    return redirect(f"{url}?{urlencode(query)}#line-{asked['line']}")


def _state(request: TeamRequest, pk: UUID) -> ListState:
    """How new a list is, which is all that a poll needs of it; or 404."""
    rows = PackingList.objects.for_team(request.team).filter(pk=pk)
    state = rows.values_list("pk", "state", "shape").first()
    if state is None:
        raise Http404("No such list.")
    return ListState(*state)


def _news(
    request: TeamRequest,
    state: ListState,
    stage: Stage,
    since: int,
    ticked: LineFacts | None = None,
) -> HttpResponse:
    may_log = request.membership.may(Permission.LOG)
    units = request.team.units
    known = {request.user.pk: request.user.get_short_name()}
    news = queries.board_news(
        state, units, stage, since, may_press=may_log, known=known, ticked=ticked
    )
    if news.reshaped:
        return HttpResponse(headers={"HX-Refresh": "true"})
    return render(request, "packing/_news.html", {"news": news, "list_id": state.pk})


def _line_url(request: TeamRequest) -> str:
    """Where a line's own page lies, up to its id: one reverse a board, not one a row."""
    some = UUID(int=0)
    return reverse("packing:show_line", args=[request.team.slug, some]).removesuffix(f"{some}/")
