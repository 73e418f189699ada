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
    rulebooks = queries.team_rulebooks(request.team)
    return render(request, "rules/list.html", {"rulebooks": rulebooks})


@require_GET
@team_view(Permission.SEE)
def show_rulebook(request: TeamRequest, pk: UUID) -> HttpResponse:
    """One rulebook: its criteria, and its arithmetic in sentences."""
    rulebook = get_object_or_404(Rulebook.objects.for_team(request.team), pk=pk)
    return render(request, "rules/rulebook.html", {"page": queries.rulebook_page(rulebook)})
