"""The rulebooks' shelf, and one rulebook."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from teamops.rules import queries
from teamops.rules.models import Rulebook
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_GET
@team_view(Permission.SEE)
def show_rulebooks(request: TeamRequest) -> HttpResponse:
    """The rulebooks this team can be judged by."""
    page = {
        "shelf": queries.shelf(request.team),
        "may_plan": request.membership.may(Permission.PLAN),
    }
    return render(request, "rules/list.html", page)


@require_GET
@team_view(Permission.SEE)
def show_rulebook(request: TeamRequest, pk: UUID) -> HttpResponse:
    """One rulebook: its criteria, its arithmetic in sentences, its editions and exceptions."""
    rulebook = get_object_or_404(Rulebook.objects.for_team(request.team), pk=pk)
    page = {
        "page": queries.rulebook_page(rulebook, request.team),
        "may_plan": request.membership.may(Permission.PLAN),
    }
    return render(request, "rules/rulebook.html", page)
