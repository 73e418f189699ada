"""Protests about a box: lodged, and what came of them."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from teamops.contests.actions import protest as actions
from teamops.contests.forms import refuse_with
from teamops.contests.forms.protest import DecideForm, LodgeForm
from teamops.contests.models import Entry, Protest
from teamops.contests.queries.protest import protest_state
from teamops.contests.queries.windows import box_name, official
from teamops.contests.views.common import GET_OR_POST
from teamops.contests.views.day import entry_of
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_http_methods(GET_OR_POST)
@team_view(Permission.LOG)
def add_protest(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Write a protest down: why, and when if not now. It may be late; that is said, not refused."""
    entry = entry_of(request, pk)
    contest, now = entry.contest, timezone.now()
    with timezone.override(contest.zone):
        form = LodgeForm(request.POST or None, contest=contest, instance=Protest(entry=entry))
        if request.method == "POST" and form.is_valid():
            protest, typed = form.save(commit=False), form.cleaned_data
            protest.pk = typed["protest"] or protest.pk
            protest.lodged_at = typed["lodged_at"] or official(now, contest)
            try:
                actions.lodge_protest(protest=protest, by=request.user)
            except ValidationError as error:
                refuse_with(form, error)
            else:
                messages.success(request, "The protest is written down.")
                return redirect("contests:show_contest", request.team.slug, contest.pk)
        return _page(request, entry, form=form)


@require_http_methods(GET_OR_POST)
@team_view(Permission.LOG)
def change_protest(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Write down what came of a protest: upheld, turned down or withdrawn."""
    protest = get_object_or_404(Protest.objects.for_team(request.team), pk=pk)
    entry = entry_of(request, protest.entry_id)
    contest = entry.contest
    with timezone.override(contest.zone):
        form = DecideForm(request.POST or None, contest=contest, instance=protest)
        if request.method == "POST" and form.is_valid():
            protest = form.save(commit=False)
            now = official(timezone.now(), contest)
            protest.decided_at = form.cleaned_data["decided_at"] or protest.decided_at or now
            actions.change_protest(protest=protest)
            messages.success(request, f"The protest is {protest.get_outcome_display()}.")
            return redirect("contests:show_contest", request.team.slug, contest.pk)
        return _page(request, entry, form=form, protest=protest)


def _page(request: TeamRequest, entry: Entry, *, form: Any, **more: Any) -> HttpResponse:
    page = {
        "entry": entry,
        "name": box_name(entry),
        "contest": entry.contest,
        "state": protest_state(entry, timezone.now()),
        "form": form,
    }
    status = 422 if form.errors else 200
    return render(request, "contests/protest.html", page | more, status=status)
