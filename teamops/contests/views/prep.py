"""The prep sheet, on a page and on paper."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from teamops.contests import actions, queries, steps
from teamops.contests.forms import StepForm
from teamops.contests.pdf import prep_pdf
from teamops.contests.views.common import GET_OR_POST, contest_of
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_http_methods(GET_OR_POST)
@team_view(Permission.SEE)
def show_prep(request: TeamRequest, pk: UUID) -> HttpResponse:
    """The day's steps on the contest's clock; a step more for those who plan."""
    contest = contest_of(request, pk)
    request.membership.require(Permission.PLAN if request.method == "POST" else Permission.SEE)
    form = StepForm(request.POST or None, contest=contest)
    if request.method == "POST" and form.is_valid():
        actions.save_task(task=form.save(commit=False))
        return redirect("contests:show_prep", request.team.slug, pk)
    page = {
        "sheet": queries.prep_sheet(contest),
        "contest": contest,
        "form": form,
        "may_plan": request.membership.may(Permission.PLAN),
        "may_log": request.membership.may(Permission.LOG),
    }
    return render(request, "contests/prep.html", page, status=422 if form.errors else 200)


@require_POST
@team_view(Permission.PLAN)
def add_usual_steps(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Put the usual steps of a steak on the prep sheet."""
    contest = contest_of(request, pk)
    added = steps.add_usual_steps(contest=contest)
    many = "1 step" if added == 1 else f"{added} steps"
    words = f"{many} added under each steak’s own box." if added else "Nothing to add to a steak."
    messages.success(request, words)
    return redirect("contests:show_prep", request.team.slug, pk)


@require_GET
@team_view(Permission.SEE)
def print_prep(request: TeamRequest, pk: UUID) -> HttpResponse:
    """The prep sheet on paper."""
    contest = contest_of(request, pk)
    pdf = prep_pdf(queries.prep_sheet(contest), request.team)
    answer = HttpResponse(pdf, content_type="application/pdf")
    answer["Content-Disposition"] = 'inline; filename="prep-sheet.pdf"'
    return answer
