"""A trip's days, which checklists are counted from."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from teamops.contests.actions.anchors import change_trip as change
from teamops.contests.forms.checklists import TripForm
from teamops.contests.models import Trip
from teamops.contests.views.common import GET_OR_POST
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def change_trip(request: TeamRequest, pk: UUID) -> HttpResponse:
    """When the trip leaves and is home again; what hangs on those days moves along."""
    trip = get_object_or_404(Trip.objects.for_team(request.team), pk=pk)
    contests = list(trip.contests.all())
    form = TripForm(request.POST or None, instance=trip)
    if request.method == "POST" and form.is_valid():
        change(trip=form.save(commit=False))
        messages.success(request, "Saved. What hangs on these days moved along.")
        if contests:
            return redirect("contests:show_contest", request.team.slug, contests[0].pk)
        return redirect("contests:show_contests", request.team.slug)
    page = {"form": form, "contests": contests}
    status = 422 if form.errors else 200
    return render(request, "contests/checklist_trip.html", page, status=status)
