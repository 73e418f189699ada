from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.template.loader import render_to_string
from django.views.decorators.http import require_GET

from teamops.insight import queries
from teamops.insight.forms import LedgerForm
from teamops.insight.queries import Ground, Selection
from teamops.insight.views.chosen import keep_account, show_chosen
from teamops.insight.views.drawn import drawing, drawn_answer
from teamops.rules.models import Criterion
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_GET
@team_view(Permission.SEE)
def show_ledger(request: TeamRequest) -> HttpResponse:
    """What each criterion costs over the chosen contests of one category."""

    def account(ground: Ground, form: LedgerForm, selection: Selection) -> str:
        def draw() -> str:
            board = queries.ledger_board(request.team, selection)
            page = {"board": board, "ledger": board.ledger, "selection": selection}
            return render_to_string("insight/_ledger.html", page, request)

        return keep_account(request.team, ground, selection, "ledger", draw)

    page, part = "insight/ledger.html", "insight/_ledger_chosen.html"
    return show_chosen(request, page, part, LedgerForm, account)


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
