"""The temperature that a category is cooked to."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_http_methods

from teamops.calc.units import show_temperature
from teamops.contests.actions.aim import set_aim as keep_aim
from teamops.contests.forms.aim import AimForm
from teamops.contests.models import Category
from teamops.contests.queries.cooked import LEAST_C, under_minimum
from teamops.contests.views.common import GET_OR_POST
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def set_aim(request: TeamRequest, pk: UUID) -> HttpResponse:
    """The peak a category aims at, in the team's units; back to where it was asked from."""
    category = get_object_or_404(Category.objects.for_team(request.team), pk=pk)
    units = request.team.units
    form = AimForm(request.POST or None, instance=category, units=units)
    asked = request.POST.get("next") or request.GET.get("next", "")
    own = url_has_allowed_host_and_scheme(asked, {request.get_host()}, request.is_secure())
    if request.method == "POST" and form.is_valid():
        keep_aim(category=form.save(commit=False))
        if category.aim_c is None:
            messages.success(request, f"{category}: no aim any more.")
        else:
            shown = show_temperature(category.aim_c, units)
            messages.success(request, f"{category}: you aim at a peak of {shown}.")
        return redirect(asked) if own else redirect("insight:show_finish", request.team.slug)
    page = {
        "form": form,
        "category": Category.objects.get(pk=pk),  # as it is called, whatever was typed
        "next": asked if own else "",
        "least": show_temperature(LEAST_C, units),
        "minimum": under_minimum(units),
    }
    return render(request, "contests/aim_form.html", page, status=422 if form.errors else 200)
