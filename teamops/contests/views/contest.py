"""Contests: the list, one of them, registering and changing it."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db.models import prefetch_related_objects
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from teamops.contests import actions, queries
from teamops.contests.forms import ContestForm, TaskForm, refuse_with
from teamops.contests.models import Contest
from teamops.contests.views.common import (
    GET_OR_POST,
    contest_of,
    theirs_beside_ours,
    warn_of_days,
)
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.teams.versions import Conflict
from teamops.teams.zones import zone_names


@require_GET
@team_view(Permission.SEE)
def show_contests(request: TeamRequest) -> HttpResponse:
    """Every contest, year by year."""
    years = queries.contests_by_year(request.team)
    return render(request, "contests/list.html", {"years": years})


@require_GET
@team_view(Permission.SEE)
def show_contest(request: TeamRequest, pk: UUID) -> HttpResponse:
    """One contest: its facts, boxes and to-dos, and where to go next."""
    contest = contest_of(request, pk)
    with timezone.override(contest.zone):
        return render(request, "contests/contest.html", contest_page(request, contest))


def contest_page(request: TeamRequest, contest: Contest, **more: Any) -> dict[str, Any]:
    today = queries.today_of(request.team)
    prefetch_related_objects([contest], queries.with_entries("rulebook"))
    story = queries.contest_story(contest)
    return {
        "contest": contest,
        "ticket": queries.ticket_of(contest, today, story.since),
        "boxes": queries.box_rows(contest),
        "moments": queries.day_moments(contest),
        "odd": queries.contest_warnings(contest, contest.entries.all()),
        "opening": queries.opening_words(contest),
        "drive": queries.drive(contest.drive_minutes),
        "weather": queries.weather_words(contest),
        "story": story.lines,
        "waiting": story.waiting,
        "money": queries.payments_part(contest, today),
        "papers": queries.papers_short(contest, today),
        "tasks": [
            (task, queries.time_of_day(task.due_at) if task.due_at else "")
            for task in contest.tasks.dated().select_related("person", "done_by")
        ],
        "steps": contest.tasks.steps().count(),
        "task_form": TaskForm(contest=contest),
        "may_plan": request.membership.may(Permission.PLAN),
        "may_log": request.membership.may(Permission.LOG),
    } | more


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def add_contest(request: TeamRequest) -> HttpResponse:
    """Register a contest: a name and a day are enough."""
    form = ContestForm(request.POST or None, team=request.team)
    if request.method == "POST" and form.is_valid():
        try:
            contest = actions.register_contest(contest=form.save(commit=False), by=request.user)
        except ValidationError as error:
            refuse_with(form, error)
        else:
            messages.success(request, f"{contest} is on your season. Add what you will turn in.")
            warn_of_days(request, contest)
            return redirect("contests:show_contest", request.team.slug, contest.pk)
    return _contest_form(request, form)


def _contest_form(request: TeamRequest, form: ContestForm, **more: Any) -> HttpResponse:
    status = more.pop("status", 422 if form.errors else 200)
    page = {"form": form, "zones": zone_names()} | more
    return render(request, "contests/contest_form.html", page, status=status)


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def change_contest(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Change a contest; a conflict shows theirs beside yours and keeps what was typed."""
    contest = contest_of(request, pk)
    stored = contest.version
    with timezone.override(contest.zone):
        form = ContestForm(request.POST or None, instance=contest, team=request.team)
        if request.method == "POST" and form.is_valid():
            seen = form.cleaned_data["seen"] or stored
            try:
                actions.change_contest(contest=form.save(commit=False), seen=seen, by=request.user)
            except Conflict as conflict:
                return _contest_form(
                    request, form, contest=contest,
                    current=theirs_beside_ours(form, conflict.current),
                    seen=conflict.current.version, by=conflict.current.changed_by, status=409,
                )  # fmt: skip
            except ValidationError as error:
                refuse_with(form, error)
            else:
                warn_of_days(request, contest)
                return redirect("contests:show_contest", request.team.slug, pk)
        return _contest_form(request, form, contest=contest, seen=stored)


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def delete_contest(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Ask once, saying what goes with it; then take it away."""
    contest = contest_of(request, pk)
    if request.method == "POST":
        actions.delete_contest(contest=contest)
        messages.success(request, f"{contest.name} is deleted.")
        return redirect("contests:show_contests", request.team.slug)
    return render(request, "contests/delete.html", {"contest": contest})
