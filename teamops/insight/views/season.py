from django.http import HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.safestring import SafeString
from django.views.decorators.http import require_GET

from teamops.contests.queries import today_of
from teamops.insight import queries
from teamops.insight.keeping import keep_for
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.web.pages import page_or_part, vary_on_htmx


@require_GET
@team_view(Permission.SEE)
def show_season(request: TeamRequest) -> HttpResponse:
    """The season's home; to htmx, which ticked something off, the to-do list alone."""
    page: dict[str, object] = {"may_log": request.membership.may(Permission.LOG)}
    template = page_or_part(request, "insight/season.html", "insight/_todo.html")
    if template == "insight/_todo.html":
        page["todo"] = queries.todo_list(request.team, today_of(request.team))
    else:
        page["home"] = _home(request)
    return vary_on_htmx(render(request, template, page))


def _home(request: TeamRequest) -> SafeString:
    """What the season's home says to this role; kept for ten minutes of the clock it reads."""
    team, place, now = request.team, request.membership, timezone.now()
    today = today_of(team)
    may = {"may_log": place.may(Permission.LOG), "may_plan": place.may(Permission.PLAN)}

    def draw() -> str:
        season = queries.season_page(team, today, now)
        page = {"season": season, "todo": season.todo, **may}
        return render_to_string("insight/_home.html", page, request)

    minutes = f"{now:%Y%m%d%H%M}"[:-1]
    return keep_for(team, f"season-{minutes}-{today}-{sum(may.values())}", draw)
