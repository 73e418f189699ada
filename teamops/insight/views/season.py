from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from teamops.contests.queries import today_of
from teamops.insight import queries
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.web.pages import page_or_part, vary_on_htmx


@require_GET
@team_view(Permission.SEE)
def show_season(request: TeamRequest) -> HttpResponse:
    """The season's home; to htmx, which ticked something off, the to-do list alone."""
    today = today_of(request.team)
    page: dict[str, Any] = {"may_log": request.membership.may(Permission.LOG)}
    template = page_or_part(request, "insight/season.html", "insight/_todo.html")
    if template == "insight/_todo.html":
        page["todo"] = queries.todo_list(request.team, today)
    else:
        season = queries.season_page(request.team, today, timezone.now())
        page |= {"season": season, "todo": season.todo}
        page["may_plan"] = request.membership.may(Permission.PLAN)
    return vary_on_htmx(render(request, template, page))
