from hashlib import sha256
from typing import Any

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.template.loader import render_to_string
from django.views.decorators.http import require_GET

from teamops.insight import queries
from teamops.insight.forms import LedgerForm
from teamops.insight.keeping import keep
from teamops.insight.queries import Ground, Selection
from teamops.insight.views.drawn import drawing, drawn_answer
from teamops.rules.models import Criterion
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_GET
@team_view(Permission.SEE)
def show_ledger(request: TeamRequest) -> HttpResponse:
    """What each criterion costs over the chosen contests of one category."""
    ground = queries.ledger_ground(request.team)
    form = LedgerForm(request.GET or None, choices=ground.choices)
    page: dict[str, Any] = {"form": form}
    if not form.is_bound or form.is_valid():
        selection = form.selection()
        page["selection"] = selection
        page["account"] = _account(request, ground, selection) if selection else ""
    return render(request, "insight/ledger.html", page, status=422 if form.errors else 200)


def _account(request: TeamRequest, ground: Ground, selection: Selection) -> str:
    """The ledger with what stands below it; kept where it is a usual choice, of which are few."""

    def draw() -> str:
        board = queries.ledger_board(request.team, selection)
        page = {"board": board, "ledger": board.ledger, "selection": selection}
        return render_to_string("insight/_ledger.html", page, request)

    if not selection.is_usual:
        return draw()
    name = f"ledger-{request.team.pk}-{sha256(selection.query().encode()).hexdigest()}"
    return keep(name, ground.stamp, draw, lambda: queries.ledger_ground(request.team).stamp)


@drawing
@require_GET
@team_view(Permission.SEE)
def draw_trend(request: TeamRequest, pk: int, key: str) -> HttpResponse:
    """One criterion's trend as SVG; `key` names the content that the page saw."""
    criterion = get_object_or_404(Criterion.objects.for_team(request.team), pk=pk)
    form = LedgerForm(request.GET, choices=queries.ledger_choices(request.team))
    selection = form.selection() if form.is_valid() else None
    if selection is None or selection.rulebook_id != criterion.rulebook_id:
        raise Http404("No such picture.")
    trend = queries.criterion_trend(request.team, criterion, selection)

    def draw(theme: str) -> str:
        from teamops.insight.pictures import trend_picture  # matplotlib takes a second to load

        return trend_picture(trend, theme)

    return drawn_answer(request, f"trend-{trend.key}", draw, seen=key == trend.key)
