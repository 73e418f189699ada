"""From nothing to the score table in one form."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from teamops.judging.actions.start import start_scores as make_start
from teamops.judging.forms.start import StartForm
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.web.forms import refuse


@require_http_methods(["GET", "POST"])
@team_view(Permission.PLAN)
def start_scores(request: TeamRequest) -> HttpResponse:
    """Ask the contest, the day, the category and the rulebook; then on to the sheets."""
    form = StartForm(request.POST or None, team=request.team)
    if request.method == "POST" and form.is_valid():
        try:
            entry = make_start(team=request.team, by=request.user, **form.cleaned_data)
        except ValidationError as refusal:
            refuse(form, refusal)
        else:
            messages.success(request, f"{entry.contest} is on your season. Now type its sheets.")
            return redirect("judging:record_scores", request.team.slug, entry.pk)
    return render(request, "judging/start.html", {"form": form}, status=422 if form.errors else 200)
