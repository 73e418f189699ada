from hashlib import sha256
from typing import Any

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.urls import reverse
from django.views.decorators.http import require_GET

from teamops.insight import queries
from teamops.insight.forms import LedgerForm
from teamops.insight.keeping import keep
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.ground import Ground
from teamops.insight.queries.luck import luck_of
from teamops.insight.views.drawn import drawing, drawn_answer
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_GET
@team_view(Permission.SEE)
def show_luck(request: TeamRequest) -> HttpResponse:
    """How much of the swing in our marks is the judges, the day, the criterion, and the rest."""
    ground = queries.ledger_ground(request.team)
    form = LedgerForm(request.GET or None, choices=ground.choices)
    page: dict[str, Any] = {"form": form}
    if not form.is_bound or form.is_valid():
        selection = form.selection()
        page["selection"] = selection
        page["account"] = _account(request, ground, selection) if selection else ""
    return render(request, "insight/luck.html", page, status=422 if form.errors else 200)


def _account(request: TeamRequest, ground: Ground, selection: Selection) -> str:
    """The shares with their picture; kept where it is a usual choice, since raw marks are dear."""

    def draw() -> str:
        luck = luck_of(request.team, selection)
        url = reverse("insight:draw_luck", args=[request.team.slug, luck.key])
        light, dark = (f"{url}?{selection.query(theme=theme)}" for theme in ("light", "dark"))
        page = {"luck": luck, "selection": selection, "light": light, "dark": dark}
        return render_to_string("insight/_luck.html", page, request)

    if not selection.is_usual:
        return draw()
    name = f"luck-{request.team.pk}-{sha256(selection.query().encode()).hexdigest()}"
    return keep(name, ground.stamp, draw, lambda: queries.ledger_ground(request.team).stamp)


@drawing
@require_GET
@team_view(Permission.SEE)
def draw_luck(request: TeamRequest, key: str) -> HttpResponse:
    """The shares as SVG; `key` names the content that the page saw."""
    form = LedgerForm(request.GET, choices=queries.ledger_choices(request.team))
    selection = form.selection() if form.is_valid() else None
    if selection is None:
        raise Http404("No such picture.")
    luck = luck_of(request.team, selection)

    def draw(theme: str) -> str:
        from teamops.insight.pictures.luck import luck_picture  # matplotlib takes a second to load

        return luck_picture(luck, theme)

    return drawn_answer(request, f"luck-{luck.key}", draw, seen=key == luck.key)
