"""The team's papers: numbers to show, and days on which they run out."""

from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from teamops.contests import actions, queries
from teamops.contests.forms import PaperForm, refuse_with
from teamops.contests.models import TeamPaper
from teamops.contests.views.common import GET_OR_POST
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_GET
@team_view(Permission.SEE)
def show_papers(request: TeamRequest) -> HttpResponse:
    """Every paper with what it will be worth on the days to come."""
    rows = queries.paper_rows(request.team, queries.today_of(request.team))
    page = {"rows": rows, "may_plan": request.membership.may(Permission.PLAN)}
    return render(request, "contests/papers.html", page)


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def add_paper(request: TeamRequest) -> HttpResponse:
    """Add a paper: only its kind is asked for."""
    return _paper_page(request, TeamPaper())


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def change_paper(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Change a paper: a new last day when it is renewed."""
    return _paper_page(request, get_object_or_404(TeamPaper.objects.for_team(request.team), pk=pk))


def _paper_page(request: TeamRequest, paper: TeamPaper) -> HttpResponse:
    known = not paper._state.adding
    form = PaperForm(request.POST or None, instance=paper, team=request.team)
    if request.method == "POST" and form.is_valid():
        try:
            actions.save_paper(paper=form.save(commit=False))
        except ValidationError as error:
            refuse_with(form, error)
        else:
            return redirect("contests:show_papers", request.team.slug)
    page = {"form": form, "paper": paper if known else None}
    status = 422 if form.errors else 200
    return render(request, "contests/paper_form.html", page, status=status)


@require_POST
@team_view(Permission.PLAN)
def delete_paper(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Take a paper away."""
    paper = get_object_or_404(TeamPaper.objects.for_team(request.team), pk=pk)
    actions.delete_paper(paper=paper)
    messages.success(request, "The paper is off the list.")
    return redirect("contests:show_papers", request.team.slug)
