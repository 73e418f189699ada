from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from teamops.contests.queries import today_of
from teamops.insight import queries
from teamops.insight.forms import ScoresForm
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_GET
@team_view(Permission.SEE)
def show_scores(request: TeamRequest) -> HttpResponse:
    """What every entry got, newest first."""
    categories, seasons = queries.score_filters(request.team)
    form = ScoresForm(request.GET, categories=list(categories), seasons=seasons)
    page: dict[str, Any] = {"form": form, "may_plan": request.membership.may(Permission.PLAN)}
    if form.is_valid():
        asked = form.cleaned_data
        page["scores"] = queries.scores_page(
            request.team,
            today_of(request.team),
            category=asked["category"],
            season=asked["season"],
            page=asked["page"] or 1,
        )
    return render(request, "insight/scores.html", page, status=422 if form.errors else 200)
