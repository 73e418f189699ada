from hashlib import sha256
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.views.decorators.http import require_GET

from teamops.insight import queries
from teamops.insight.forms import CompareForm
from teamops.insight.keeping import keep
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.compare import comparison
from teamops.insight.queries.ground import Ground
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_GET
@team_view(Permission.SEE)
def show_comparison(request: TeamRequest) -> HttpResponse:
    """Usual losses of two groups or more beside each other."""
    ground = queries.ledger_ground(request.team)
    form = CompareForm(request.GET or None, choices=ground.choices)
    page: dict[str, Any] = {"form": form}
    if not form.is_bound or form.is_valid():
        selection = form.selection()
        page["selection"] = selection
        if selection and form.dimension:
            page["account"] = _account(request, ground, selection, form.dimension)
    return render(request, "insight/compare.html", page, status=422 if form.errors else 200)


def _account(request: TeamRequest, ground: Ground, selection: Selection, by: str) -> str:
    """The table; kept where the selection is a usual one."""

    def draw() -> str:
        found = comparison(request.team, ground.choices, selection, by)
        return render_to_string("insight/_compare.html", {"beside": found}, request)

    if not selection.is_usual:
        return draw()
    chosen = sha256(f"{by} {selection.query()}".encode()).hexdigest()
    name = f"compare-{request.team.pk}-{chosen}"
    return keep(name, ground.stamp, draw, lambda: queries.ledger_ground(request.team).stamp)
