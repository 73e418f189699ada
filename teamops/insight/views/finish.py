"""The finish temperature that scores best: its page and its picture."""

from decimal import Decimal
from typing import Any
from urllib.parse import urlencode

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET

from teamops.calc.temperature import MEDIUM_C
from teamops.calc.units import c_to_f
from teamops.contests.forms.aim import AimForm
from teamops.contests.models import Category
from teamops.insight import queries
from teamops.insight.finish_forms import FinishForm
from teamops.insight.queries.board import Picture
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.finish import FinishBoard, finish_board
from teamops.insight.views.drawn import drawing, drawn_answer
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.models import Team
from teamops.teams.roles import Permission


@require_GET
@team_view(Permission.SEE)
def show_finish(request: TeamRequest) -> HttpResponse:
    """Doneness marks against one of the three temperatures, and the best one if it can be told."""
    choices = queries.ledger_choices(request.team)
    form = FinishForm(request.GET or None, choices=choices)
    page: dict[str, Any] = {"form": form}
    if not form.is_bound or form.is_valid():
        selection = form.selection()
        page["selection"] = selection
        if selection:
            page |= _page(request, form, selection)
    return render(request, "insight/finish.html", page, status=422 if form.errors else 200)


def _page(request: TeamRequest, form: FinishForm, selection: Selection) -> dict[str, Any]:
    board = finish_board(request.team, selection, *form.asked)
    picks = [
        *form.picks(),
        form.own_pick("moment", board.moments, board.moment),
        form.own_pick("criterion", board.criteria, board.criterion and board.criterion.pk),
    ]
    page: dict[str, Any] = {"board": board, "picks": picks}
    page["picture"] = _picture(request.team, selection, board)
    if request.membership.may(Permission.PLAN):
        page["aim_form"] = _aim_form(board.category, request.team.units)
    return page


def _aim_form(category: Category, units: str) -> AimForm:
    """What the team aims at, or medium as a steak's first offer, to the tenth that people type."""
    offered: dict[str, Decimal] = {}
    if category.aim_c is None and not category.ancillary:
        medium = Decimal(str(MEDIUM_C))
        typed = c_to_f(medium) if units == Team.Units.US else round(medium, 1)
        offered["aim_c"] = medium if units == Team.Units.US else typed
    return AimForm(instance=category, units=units, initial=offered)


def _picture(team: Team, selection: Selection, board: FinishBoard) -> Picture | None:
    curve = board.curve
    if curve is None or board.criterion is None:
        return None
    url = reverse("insight:draw_finish", args=[team.slug, curve.key])
    asked = urlencode({"moment": board.moment, "criterion": board.criterion.pk})
    light, dark = (f"{url}?{selection.query(theme=theme)}&{asked}" for theme in ("light", "dark"))
    return Picture("Doneness and finish", curve.words, light, dark, *curve.size)


@drawing
@require_GET
@team_view(Permission.SEE)
def draw_finish(request: TeamRequest, key: str) -> HttpResponse:
    """The curve as SVG; `key` names the content that the page saw."""
    form = FinishForm(request.GET, choices=queries.ledger_choices(request.team))
    selection = form.selection() if form.is_valid() else None
    board = finish_board(request.team, selection, *form.asked) if selection else None
    if board is None or (curve := board.curve) is None:
        raise Http404("No such picture.")

    def draw(theme: str) -> str:
        from teamops.insight.pictures.finish import finish_picture  # matplotlib is slow to load

        return finish_picture(curve, theme)

    return drawn_answer(request, f"finish-{curve.key}", draw, seen=key == curve.key)
