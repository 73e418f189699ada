from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from teamops.judging import actions
from teamops.judging.forms import ChangeForm
from teamops.judging.models import Change
from teamops.judging.queries.debrief import contests_of_changes
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_GET
@team_view(Permission.SEE)
def show_changes(request: TeamRequest) -> HttpResponse:
    """What the team does differently, and since when."""
    changes = list(Change.objects.for_team(request.team).order_by("-starts_on", "what", "pk"))
    came_from = contests_of_changes(request.team, changes)
    rows = [(change, came_from.get(change.pk)) for change in changes]
    return render(request, "judging/changes.html", {"changes": rows})


@require_http_methods(["GET", "POST"])
@team_view(Permission.PLAN)
def add_change(request: TeamRequest) -> HttpResponse:
    """Write down a new change."""
    return _edit(request, Change(team=request.team))


@require_http_methods(["GET", "POST"])
@team_view(Permission.PLAN)
def change_change(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Correct a change, or end it."""
    return _edit(request, get_object_or_404(Change.objects.for_team(request.team), pk=pk))


@require_http_methods(["GET", "POST"])
@team_view(Permission.PLAN)
def delete_change(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Ask, then take a change away; one that is gone already is gone."""
    change = Change.objects.for_team(request.team).filter(pk=pk).first()
    if request.method == "GET":
        get_object_or_404(Change.objects.for_team(request.team), pk=pk)
        return render(request, "judging/delete_change.html", {"change": change})
    if change is not None:
        actions.delete_change(change=change, by=request.user)
        messages.success(request, f"“{change}” is deleted.")
    return redirect("judging:show_changes", request.team.slug)


def _edit(request: TeamRequest, change: Change) -> HttpResponse:
    form = ChangeForm(request.POST or None, instance=change)
    if request.method == "POST" and form.is_valid():
        actions.save_change(change=form.instance, by=request.user)
        messages.success(request, f"“{form.instance}” is kept.")
        return redirect("judging:show_changes", request.team.slug)
    page = {"form": form, "change": change, "new": change._state.adding}
    status = 422 if form.is_bound else 200
    return render(request, "judging/change_form.html", page, status=status)
