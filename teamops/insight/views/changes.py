from hashlib import sha256
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.views.decorators.http import require_GET

from teamops.contests.queries import today_of
from teamops.insight import queries
from teamops.insight.change_forms import EffectForm
from teamops.insight.keeping import keep_for
from teamops.insight.queries import Selection
from teamops.insight.queries.changes import change_board, change_picture_of
from teamops.insight.queries.changes_list import changes_page, choices_for
from teamops.insight.views.drawn import drawing, drawn_answer
from teamops.judging.models import Change
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_GET
@team_view(Permission.SEE)
def show_changes(request: TeamRequest) -> HttpResponse:
    """What the team does differently, since when, and whether it did anything."""
    today = today_of(request.team)

    def draw() -> str:
        page = {"changes": changes_page(request.team, today)}
        return render_to_string("insight/_changes.html", page, request)

    page: dict[str, object] = {"may_plan": request.membership.may(Permission.PLAN)}
    page["listed"] = keep_for(request.team, f"changes-{today}", draw)
    return render(request, "insight/changes.html", page)


@require_GET
@team_view(Permission.SEE)
def show_change(request: TeamRequest, pk: UUID) -> HttpResponse:
    """One change: what its scores tell over the chosen contests, and what would tell more."""
    change = _change(request, pk)
    form = _form(request, change)
    page: dict[str, object] = {
        "form": form,
        "change": change,
        "may_plan": request.membership.may(Permission.PLAN),
    }
    selection = form.selection() if not form.is_bound or form.is_valid() else None
    if selection is not None:
        page["selection"], page["told"] = selection, _told(request, change, selection)
    return render(request, "insight/change.html", page, status=422 if form.errors else 200)


def _told(request: TeamRequest, change: Change, selection: Selection) -> str:
    """What stands below the choice; kept where it is a usual choice, of which are few."""
    today, may_plan = today_of(request.team), request.membership.may(Permission.PLAN)

    def draw() -> str:
        board = change_board(request.team, change, selection, today)
        page = {"board": board, "change": change, "selection": selection, "may_plan": may_plan}
        if board.picture is not None:
            url = reverse(
                "insight:draw_change", args=[request.team.slug, change.pk, board.picture.key]
            )
            for theme in ("light", "dark"):
                page[theme] = f"{url}?{selection.query(theme=theme)}"
        return render_to_string("insight/_change.html", page, request)

    if not selection.is_usual:
        return draw()
    name = sha256(selection.query().encode()).hexdigest()
    return keep_for(request.team, f"change-{change.pk}-{name}-{today}-{may_plan}", draw)


@drawing
@require_GET
@team_view(Permission.SEE)
def draw_change(request: TeamRequest, pk: UUID, key: str) -> HttpResponse:
    """The differences with their ranges as SVG; `key` names the content that the page saw."""
    change = _change(request, pk)
    form = _form(request, change)
    selection = form.selection() if not form.is_bound or form.is_valid() else None
    picture = change_picture_of(request.team, change, selection) if selection else None
    if picture is None:
        return HttpResponse(status=204)  # nothing to compare any more, so nothing to draw

    def draw(theme: str) -> str:
        from teamops.insight.pictures.changes import change_picture  # matplotlib is slow to load

        return change_picture(picture, theme)

    return drawn_answer(request, f"change-{picture.key}", draw, seen=key == picture.key)


def _change(request: TeamRequest, pk: UUID) -> Change:
    rows = Change.objects.for_team(request.team).select_related("category")
    return get_object_or_404(rows, pk=pk)


def _form(request: TeamRequest, change: Change) -> EffectForm:
    choices = choices_for(queries.ledger_choices(request.team), change)
    return EffectForm(request.GET or None, choices=choices)
