"""Turned in: when by the official clock, by whom, and what was made of it."""

from decimal import Decimal
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse, HttpResponseBadRequest
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from teamops.contests.actions import turn_in as actions
from teamops.contests.forms.meeting import tapped
from teamops.contests.forms.turn_in import OutcomeForm, PressForm, TurnInForm
from teamops.contests.models import Entry
from teamops.contests.queries.turn_in import is_scored, judged_words, turn_in_page
from teamops.contests.queries.windows import box_name, official, punctuality
from teamops.contests.views.common import GET_OR_POST
from teamops.contests.views.day import entry_of
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.teams.versions import Conflict


@require_http_methods(GET_OR_POST)
@team_view(Permission.LOG)
def turn_in(request: TeamRequest, pk: UUID) -> HttpResponse:
    """The clock, the press, and what can be put right afterwards."""
    entry = entry_of(request, pk)
    with timezone.override(entry.contest.zone):
        if request.method != "POST":
            return _page(request, entry, TurnInForm(instance=entry))
        if request.POST.get("press") == "save":
            return _save(request, entry)
        return _press(request, entry)


def _press(request: TeamRequest, entry: Entry) -> HttpResponse:
    """One press, sent once or twice."""
    form = PressForm(request.POST)
    if not form.is_valid():
        return HttpResponseBadRequest("No such press.")
    typed = form.cleaned_data
    if typed["press"] == PressForm.NOW:
        at = official(tapped(typed["tapped_at"], timezone.now()), entry.contest)
        kept = actions.turn_in(entry=entry, at=at, by=request.user)
        _say(request, entry, kept)
    elif typed["press"] == PressForm.BACK:
        actions.take_back_turn_in(entry=entry, by=request.user)
        messages.success(request, "Taken back: the box is not turned in.")
    elif is_scored(entry):
        return redirect("judging:settle_entry", request.team.slug, entry.pk)
    else:
        points = _points(entry)
        actions.set_late(entry=entry, late=typed["late"], points=points, by=request.user)
    return redirect("contests:turn_in", request.team.slug, entry.pk)


def _points(entry: Entry) -> Decimal | None:
    """What a docked box loses: as written down already, or as the rulebook says."""
    return entry.late_points if entry.late_points is not None else entry.rulebook.late_points


def _say(request: TeamRequest, entry: Entry, kept: Entry) -> None:
    lies = punctuality(entry, kept.turned_in_at)
    if lies and not lies.in_time:
        messages.warning(request, f"Turned in {lies.words}.")
    else:
        messages.success(request, "Turned in.")


def _save(request: TeamRequest, entry: Entry) -> HttpResponse:
    """What was typed about the turn-in; what somebody else saved meanwhile is shown beside it."""
    stored, was = entry.version, (entry.turned_in_at, entry.turned_in_by)
    form = TurnInForm(request.POST, instance=entry)
    if not form.is_valid():
        entry.turned_in_at, entry.turned_in_by = was
        return _page(request, entry, form, status=422)
    typed = form.cleaned_data
    entry.turned_in_at = typed["turned_in_at"] or entry.turned_in_at
    entry.turned_in_by = typed["who"] or entry.turned_in_by or request.user
    try:
        actions.change_entry_of_the_day(entry=entry, seen=typed["seen"] or stored, by=request.user)
    except Conflict as conflict:
        return _conflict(request, entry, conflict, form)
    messages.success(request, "Kept.")
    return redirect("contests:turn_in", request.team.slug, entry.pk)


def _conflict(
    request: TeamRequest, entry: Entry, conflict: Conflict, form: TurnInForm
) -> HttpResponse:
    current = entry_of(request, entry.pk)
    return _page(request, current, form, status=409, theirs=conflict.current.changed_by)


def _page(
    request: TeamRequest, entry: Entry, form: TurnInForm, *, status: int = 200, **more: Any
) -> HttpResponse:
    now = timezone.now()
    page = {
        "contest": entry.contest,
        "entry": entry,
        "box": turn_in_page(entry, now),
        "form": form,
        "seen": entry.version,
        "late_ways": [way for way in Entry.Late.choices if way[0]],
        "server_now": int(now.timestamp()),
    }
    return render(request, "contests/turn_in.html", page | more, status=status)


@require_http_methods(GET_OR_POST)
@team_view(Permission.LOG)
def change_outcome(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Disqualified and why, taken back and why; a category that was dropped or not judged.

    Once a total hangs on it, the scores' own page decides it.
    """
    entry = entry_of(request, pk)
    if is_scored(entry):
        return redirect("judging:settle_entry", request.team.slug, pk)
    stored, more = entry.version, {}
    form = OutcomeForm(request.POST or None, instance=entry)
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            seen = form.cleaned_data["seen"] or stored
            try:
                actions.change_entry_of_the_day(
                    entry=form.save(commit=False), seen=seen, by=request.user
                )
            except Conflict as conflict:
                theirs = conflict.current
                more = {"theirs": theirs.changed_by, "their_words": judged_words(theirs)}
                stored, status = theirs.version, 409
            else:
                messages.success(
                    request, f"{box_name(entry)}: {judged_words(entry) or 'as usual'}."
                )
                return redirect("contests:show_contest", request.team.slug, entry.contest_id)
    page = {
        "entry": entry,
        "contest": entry.contest,
        "name": box_name(entry),
        "form": form,
        "seen": stored,
    }
    return render(request, "contests/turn_in_outcome.html", page | more, status=status)
