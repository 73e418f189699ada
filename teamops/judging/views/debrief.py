"""The debrief of a contest."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from teamops.contests.models import Contest, Task
from teamops.judging.actions import debrief as actions
from teamops.judging.forms.debrief import DebriefForm, PointsForm, SettleForm
from teamops.judging.models import Debrief, OpenPoint
from teamops.judging.queries.debrief import debrief_page, next_contest
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.teams.versions import Conflict


def _contest(request: TeamRequest, pk: UUID) -> Contest:
    contest = get_object_or_404(Contest.objects.for_team(request.team), pk=pk)
    contest.team = request.team
    return contest


@require_http_methods(["GET", "POST"])
@team_view(Permission.SEE)
def show_debrief(request: TeamRequest, pk: UUID) -> HttpResponse:
    """What happened, what to keep, what to change; who may log writes it."""
    contest = _contest(request, pk)
    with timezone.override(contest.zone):
        if request.method != "POST":
            return _page(request, contest)
        request.membership.require(Permission.LOG)
        form = DebriefForm(request.POST, instance=Debrief(contest=contest))
        if not form.is_valid():
            return _page(request, contest, form=form, status=422)
        typed = form.cleaned_data
        try:
            actions.save_debrief(
                contest=contest, words=typed, seen=typed["seen"] or 0, by=request.user
            )
        except Conflict as conflict:
            return _page(request, contest, form=form, theirs=conflict.current, status=409)
        messages.success(request, "The debrief is kept.")
        return redirect("judging:show_debrief", request.team.slug, pk)


@require_POST
@team_view(Permission.LOG)
def add_points(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Add open points, one a line."""
    contest = _contest(request, pk)
    form = PointsForm(request.POST)
    if not form.is_valid():
        with timezone.override(contest.zone):
            return _page(request, contest, points_form=form, status=422)
    actions.add_points(contest=contest, lines=form.cleaned_data["lines"], by=request.user)
    return redirect("judging:show_debrief", request.team.slug, pk)


@require_POST
@team_view(Permission.PLAN)
def settle_point(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Make a point a to-do or a change, drop it, or take that back."""
    rows = OpenPoint.objects.for_team(request.team).select_related("contest")
    point = get_object_or_404(rows, pk=pk)
    contest = _contest(request, point.contest_id)
    form = SettleForm(request.POST)
    if not form.is_valid():
        for errors in form.errors.values():
            messages.error(request, f"“{point}” is as it was. {errors[0]}")
    else:
        try:
            _settle(form, point, contest, request)
        except ValidationError as refusal:
            messages.error(request, refusal.messages[0])
    return redirect("judging:show_debrief", request.team.slug, contest.pk)


def _settle(form: SettleForm, point: OpenPoint, contest: Contest, request: TeamRequest) -> None:
    press, where = form.cleaned_data["press"], next_contest(contest)
    if press == SettleForm.TASK:
        day = form.cleaned_data["on"]
        actions.make_task(point=point, contest=where.contest, due_on=day, by=request.user)
    elif press == SettleForm.CHANGE:
        actions.make_change(point=point, starts_on=where.starts_on, by=request.user)
    elif press == SettleForm.DROP:
        actions.drop_point(point=point)
    else:
        actions.reopen_point(point=point, by=request.user)


@require_GET
@team_view(Permission.SEE)
def find_debrief(request: TeamRequest, pk: UUID) -> HttpResponse:
    """From a to-do to the debrief that it came from."""
    task = get_object_or_404(Task.objects.for_team(request.team), pk=pk)
    point = OpenPoint.objects.for_team(request.team).filter(task=task).first()
    if point is None:
        messages.info(request, "This to-do did not come from a debrief.")
        return redirect("contests:show_contest", request.team.slug, task.contest_id)
    return redirect("judging:show_debrief", request.team.slug, point.contest_id)


def _page(request: TeamRequest, contest: Contest, **more: Any) -> HttpResponse:
    shown, theirs = debrief_page(contest), more.get("theirs")
    debrief = theirs or shown.debrief
    status = more.pop("status", 200)
    page = {
        "page": shown,
        "contest": contest,
        "form": DebriefForm(instance=shown.debrief),
        "points_form": PointsForm(),
        "seen": debrief.version if debrief else 0,
        "may_log": request.membership.may(Permission.LOG),
        "may_plan": request.membership.may(Permission.PLAN),
    } | more
    if more.get("form") and not theirs:
        page["seen"] = request.POST.get("seen") or 0
    return render(request, "judging/debrief.html", page, status=status)
