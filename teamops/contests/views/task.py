"""To-dos and steps."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from teamops.contests import actions
from teamops.contests.forms import StepForm, TaskForm
from teamops.contests.models import Task
from teamops.contests.views.common import GET_OR_POST, contest_of
from teamops.contests.views.contest import contest_page
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_POST
@team_view(Permission.PLAN)
def add_task(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Add a dated to-do to a contest."""
    contest = contest_of(request, pk)
    form = TaskForm(request.POST, contest=contest)
    if not form.is_valid():
        with timezone.override(contest.zone):
            page = contest_page(request, contest, task_form=form)
            return render(request, "contests/contest.html", page, status=422)
    actions.save_task(task=form.save(commit=False))
    return redirect("contests:show_contest", request.team.slug, pk)


@require_POST
@team_view(Permission.LOG)
def set_task_done(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Tick a task (`done=yes`) or untick it (`done=no`), and go back to where the press was."""
    task = get_object_or_404(Task.objects.for_team(request.team).select_related("contest"), pk=pk)
    actions.set_task_done(task=task, done=request.POST.get("done") != "no", by=request.user)
    if request.POST.get("next") == "season":
        return redirect("insight:show_season", request.team.slug)
    name = "contests:show_contest" if task.due_on else "contests:show_prep"
    return redirect(name, request.team.slug, task.contest_id)


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def change_step(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Change a step of the day: what, when, how hot, who, and what to mind."""
    steps = Task.objects.for_team(request.team).steps().select_related("person")
    step = get_object_or_404(steps, pk=pk)
    contest = contest_of(request, step.contest_id)
    form = StepForm(request.POST or None, instance=step, contest=contest)
    if request.method == "POST" and form.is_valid():
        actions.save_task(task=form.save(commit=False))
        return redirect("contests:show_prep", request.team.slug, contest.pk)
    page = {"form": form, "contest": contest, "step": step}
    return render(request, "contests/step_form.html", page, status=422 if form.errors else 200)


@require_POST
@team_view(Permission.PLAN)
def delete_task(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Take a to-do or a step away."""
    task = get_object_or_404(Task.objects.for_team(request.team), pk=pk)
    task.delete()
    name = "contests:show_contest" if task.due_on else "contests:show_prep"
    return redirect(name, request.team.slug, task.contest_id)
