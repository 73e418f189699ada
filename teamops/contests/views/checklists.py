"""Checklists: as the team keeps them, and on a contest."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse, HttpResponseBadRequest
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from teamops.contests.actions import checklists as actions
from teamops.contests.actions import save_task
from teamops.contests.forms import refuse_with
from teamops.contests.forms.checklists import (
    BackForm,
    ChecklistForm,
    ChecklistLineForm,
    PutForm,
    RemoveForm,
    TickForm,
    TodoForm,
)
from teamops.contests.models import ChecklistTemplate, Contest, Task, TemplateTask
from teamops.contests.queries import checklists as queries
from teamops.contests.queries import today_of
from teamops.contests.views.common import GET_OR_POST, contest_of
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_GET
@team_view(Permission.SEE)
def show_checklists(request: TeamRequest) -> HttpResponse:
    """The checklists the team keeps, each with its lines."""
    page = {
        "checklists": queries.kept_checklists(request.team),
        "may_plan": request.membership.may(Permission.PLAN),
    }
    return render(request, "contests/checklists.html", page)


@require_POST
@team_view(Permission.PLAN)
def add_starter_checklists(request: TeamRequest) -> HttpResponse:
    """Add the usual checklists; the team's own ones stay as they are."""
    added = actions.add_starter_checklists(team=request.team)
    many = "1 checklist" if added == 1 else f"{added} checklists"
    words = f"{many} added. Change what you do another way." if added else "They are here already."
    messages.success(request, words)
    form = BackForm(request.POST)
    if form.is_valid() and (pk := form.cleaned_data["contest"]):
        return redirect("contests:show_checklist", request.team.slug, pk)
    return redirect("contests:show_checklists", request.team.slug)


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def add_checklist(request: TeamRequest) -> HttpResponse:
    """A new checklist: its name first, its lines on its own page."""
    form = ChecklistForm(request.POST or None, team=request.team)
    if request.method == "POST" and form.is_valid():
        try:
            checklist = actions.save_checklist(checklist=form.save(commit=False))
        except ValidationError as error:
            refuse_with(form, error)
        else:
            return redirect("contests:change_checklist", request.team.slug, checklist.pk)
    return _checklist_page(request, {"form": form}, failed=bool(form.errors))


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def change_checklist(request: TeamRequest, pk: UUID) -> HttpResponse:
    """A checklist's name and lines, with a form for one line more."""
    checklist = _kept(request, pk)
    form = ChecklistForm(request.POST or None, instance=_kept(request, pk), team=request.team)
    if request.method == "POST" and form.is_valid():
        try:
            actions.save_checklist(checklist=form.save(commit=False))
        except ValidationError as error:
            refuse_with(form, error)
        else:
            messages.success(request, "Saved. What is on a contest already keeps the old name.")
            return redirect("contests:change_checklist", request.team.slug, pk)
    page = {"form": form, "line_form": ChecklistLineForm()}
    return _checklist_page(request, page, checklist, failed=bool(form.errors))


def _kept(request: TeamRequest, pk: UUID) -> ChecklistTemplate:
    return get_object_or_404(ChecklistTemplate.objects.for_team(request.team), pk=pk)


def _checklist_page(
    request: TeamRequest,
    page: dict[str, Any],
    checklist: ChecklistTemplate | None = None,
    *,
    failed: bool,
) -> HttpResponse:
    if checklist:
        page["checklist"] = queries.checklist_words(checklist)
    status = 422 if failed else 200
    return render(request, "contests/checklist_form.html", page, status=status)


@require_POST
@team_view(Permission.PLAN)
def delete_checklist(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Take a kept checklist away; what it put on contests stays there."""
    checklist = _kept(request, pk)
    checklist.delete()
    messages.success(request, f"{checklist.name} is deleted.")
    return redirect("contests:show_checklists", request.team.slug)


@require_POST
@team_view(Permission.PLAN)
def add_checklist_line(request: TeamRequest, pk: UUID) -> HttpResponse:
    """One line more."""
    checklist = _kept(request, pk)
    form = ChecklistLineForm(request.POST, instance=TemplateTask(template=checklist))
    if form.is_valid():
        actions.save_checklist_line(line=form.save(commit=False))
        return redirect("contests:change_checklist", request.team.slug, pk)
    name_form = ChecklistForm(instance=checklist, team=request.team)
    page = {"form": name_form, "line_form": form}
    return _checklist_page(request, page, checklist, failed=True)


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def change_checklist_line(request: TeamRequest, pk: UUID) -> HttpResponse:
    """One line of a kept checklist, to change."""
    line = _line(request, pk)
    form = ChecklistLineForm(request.POST or None, instance=line)
    if request.method == "POST" and form.is_valid():
        actions.save_checklist_line(line=form.save(commit=False))
        return redirect("contests:change_checklist", request.team.slug, line.template_id)
    page = {"form": form, "line": line}
    status = 422 if form.errors else 200
    return render(request, "contests/checklist_line.html", page, status=status)


def _line(request: TeamRequest, pk: UUID) -> TemplateTask:
    rows = TemplateTask.objects.for_team(request.team).select_related("template")
    return get_object_or_404(rows, pk=pk)


@require_POST
@team_view(Permission.PLAN)
def delete_checklist_line(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Take a line off a kept checklist."""
    line = _line(request, pk)
    line.delete()
    return redirect("contests:change_checklist", request.team.slug, line.template_id)


@require_GET
@team_view(Permission.SEE)
def show_checklist(request: TeamRequest, pk: UUID) -> HttpResponse:
    """A contest's to-dos, checklist by checklist, to tick with a thumb."""
    return _board_page(request, contest_of(request, pk), PutForm(team=request.team))


def _board_page(request: TeamRequest, contest: Contest, form: PutForm) -> HttpResponse:
    board = queries.tick_board(contest, today_of(request.team))
    may_plan = request.membership.may(Permission.PLAN)
    page = {
        "contest": contest,
        "board": board,
        "removable": [group.name for group in board.groups if group.removable],
        "checklists": queries.kept_checklists(request.team),
        "form": form,
        "change_url": f"/t/{request.team.slug}/tasks/" if may_plan else "",
        "may_plan": may_plan,
        "may_tick": request.membership.may(Permission.LOG),
    }
    status = 422 if form.errors else 200
    return render(request, "contests/checklist.html", page, status=status)


@require_POST
@team_view(Permission.LOG)
def tick_checklist(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Tick a line (`done`) or untick it (`undo`); htmx gets the row and the counts."""
    contest = contest_of(request, pk)
    form = TickForm(request.POST)
    if not form.is_valid():
        return HttpResponseBadRequest("No such line.")
    asked = form.cleaned_data
    task = get_object_or_404(contest.tasks, pk=asked["done"] or asked["undo"])
    actions.tick(task=task, done=bool(asked["done"]), by=request.user)
    if not request.htmx:
        here = reverse("contests:show_checklist", args=[request.team.slug, pk])
        return redirect(f"{here}#line-{task.pk}")
    board = queries.tick_board(contest, today_of(request.team))
    rows = [row for group in board.groups for row in group.rows if row.key == str(task.pk)]
    return render(request, "contests/_ticked.html", {"board": board, "rows": rows})


@require_POST
@team_view(Permission.PLAN)
def put_checklist(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Put a kept checklist on a contest; pressing twice adds nothing."""
    contest = contest_of(request, pk)
    form = PutForm(request.POST, team=request.team)
    if not form.is_valid():
        return _board_page(request, contest, form)
    asked = form.cleaned_data
    added = actions.put_checklist(
        contest=contest, checklist=asked["checklist"], person=asked["person"]
    )
    many = "1 line" if added == 1 else f"{added} lines"
    words = f"{asked['checklist']}: {many} added." if added else "It is on this contest already."
    messages.success(request, words)
    return redirect("contests:show_checklist", request.team.slug, pk)


@require_POST
@team_view(Permission.PLAN)
def remove_checklist(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Take what is undone of a checklist off a contest; what was ticked stays."""
    contest = contest_of(request, pk)
    form = RemoveForm(request.POST)
    if not form.is_valid():
        return HttpResponseBadRequest("No such checklist.")
    many = actions.take_off(contest=contest, name=form.cleaned_data["name"])
    messages.success(request, f"{many} line{'s' * (many != 1)} taken off.")
    return redirect("contests:show_checklist", request.team.slug, pk)


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def change_task(request: TeamRequest, pk: UUID) -> HttpResponse:
    """One to-do of a contest: its day, its hour, who does it."""
    rows = Task.objects.for_team(request.team).select_related("contest")
    task = get_object_or_404(rows, pk=pk)
    contest = contest_of(request, task.contest_id)
    form = TodoForm(request.POST or None, instance=task, contest=contest)
    if request.method == "POST" and form.is_valid():
        save_task(task=form.save(commit=False))
        return redirect("contests:show_checklist", request.team.slug, contest.pk)
    page = {"form": form, "task": task, "contest": contest}
    status = 422 if form.errors else 200
    return render(request, "contests/checklist_task.html", page, status=status)
