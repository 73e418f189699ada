"""What the pages of a contest share."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.shortcuts import get_object_or_404

from teamops.contests import queries
from teamops.contests.forms import ContestForm, EntryForm
from teamops.contests.models import Contest
from teamops.teams.access import TeamRequest

GET_OR_POST = ["GET", "POST"]


def contest_of(request: TeamRequest, pk: UUID) -> Contest:
    contest = get_object_or_404(
        Contest.objects.for_team(request.team).select_related("trip"), pk=pk
    )
    contest.team = request.team
    return contest


def theirs_beside_ours(form: ContestForm | EntryForm, current: Any) -> list[tuple[Any, Any, Any]]:
    """Field by field where theirs and ours differ: label, theirs, ours."""
    rows = []
    for name in form._meta.fields or ():
        theirs, ours = getattr(current, name), getattr(form.instance, name, None)
        if theirs != ours:
            shown = f"get_{name}_display"
            said: Any = form.fields[name].prepare_value  # a temperature in the team's units
            pair = [
                getattr(row, shown)() if hasattr(row, shown) else said(getattr(row, name, None))
                for row in (current, form.instance)
            ]
            rows.append((form.fields[name].label or name, pair[0], pair[1]))
    return rows


def warn_of_days(request: TeamRequest, contest: Contest) -> None:
    """Say what is odd about the days and fees that were just stored."""
    for name, words in queries.contest_warnings(contest, contest.entries.all()).items():
        label = ContestForm.base_fields[name].label or name
        messages.warning(request, f"{label}: {words}.")
