"""A contest that is moved to another day, or called off."""

from collections.abc import Callable
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from teamops.contests import actions
from teamops.contests.forms import CallOffForm, PostponeForm, refuse_with
from teamops.contests.models import Contest
from teamops.contests.views.common import GET_OR_POST, contest_of, warn_of_days
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.teams.versions import Conflict


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def postpone_contest(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Ask the new day, and move everything that hangs on it."""
    contest = contest_of(request, pk)
    form = PostponeForm(request.POST or None, contest=contest)
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        done = _moved(
            form, actions.postpone_contest, contest, to=typed["to"], why=typed["why"],
            seen=typed["seen"] or contest.version, by=request.user,
        )  # fmt: skip
        if done:
            messages.success(request, _postponed_words(contest))
            warn_of_days(request, contest)
            return redirect("contests:show_contest", request.team.slug, pk)
    return _off_page(request, "contests/postpone.html", contest, form)


def _postponed_words(contest: Contest) -> str:
    if contest.is_off:
        return f"{contest} waits for a new day."
    day = contest.held_on
    return f"{contest} is on {day:%A}, {day.day} {day:%B %Y}. Windows and to-dos moved along."


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def call_off_contest(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Ask whether it was cancelled or we withdrew, and why."""
    contest = contest_of(request, pk)
    form = CallOffForm(request.POST or None, contest=contest)
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        done = _moved(
            form, actions.call_off_contest, contest, state=typed["state"], why=typed["why"],
            seen=typed["seen"] or contest.version, by=request.user,
        )  # fmt: skip
        if done:
            messages.success(request, f"{contest} is {contest.get_state_display()}.")
            return redirect("contests:show_contest", request.team.slug, pk)
    return _off_page(request, "contests/call_off.html", contest, form)


def _moved(
    form: PostponeForm | CallOffForm, action: Callable[..., Contest], contest: Contest, **more: Any
) -> bool:
    """Do it, or put what is against it on the form."""
    try:
        action(contest=contest, **more)
    except Conflict as conflict:
        who = conflict.current.changed_by or "Somebody"
        form.add_error(None, f"{who} changed the contest meanwhile. Look at it, then press again.")
        sent: Any = form.data
        form.data = again = sent.copy()
        again["seen"] = conflict.current.version
        return False
    except ValidationError as error:
        refuse_with(form, error)
        return False
    return True


def _off_page(
    request: TeamRequest, template: str, contest: Contest, form: PostponeForm | CallOffForm
) -> HttpResponse:
    """The page again, with the contest as it is stored."""
    page = {"form": form, "contest": contest_of(request, contest.pk)}
    return render(request, template, page, status=422 if form.errors else 200)
