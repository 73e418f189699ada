from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from teamops.contests import actions, queries, steps
from teamops.contests.forms import (
    ContestForm,
    EntryForm,
    StepForm,
    TaskForm,
    refuse_with,
    zone_names,
)
from teamops.contests.models import Contest, Entry, Task
from teamops.contests.pdf import prep_pdf
from teamops.rules.queries import default_rulebook
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.teams.versions import Conflict

GET_OR_POST = ["GET", "POST"]


def _contest(request: TeamRequest, pk: UUID) -> Contest:
    contest = get_object_or_404(
        Contest.objects.for_team(request.team).select_related("trip"), pk=pk
    )
    contest.team = request.team
    return contest


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
    contest = _contest(request, pk)
    with timezone.override(contest.zone):
        return render(request, "contests/contest.html", _contest_page(request, contest))


def _contest_page(request: TeamRequest, contest: Contest, **more: Any) -> dict[str, Any]:
    today = queries.today_of(request.team)
    return {
        "contest": contest,
        "ticket": queries.ticket_of(contest, today),
        "entries": [(entry, queries.window(entry)) for entry in contest.entries.all()],
        "moments": [
            (label, queries.clock(moment, contest))
            for label, moment in (
                ("Load-in", contest.load_in_at),
                ("Cooks’ meeting", contest.meeting_at),
                ("Awards", contest.awards_at),
            )
            if moment
        ],
        "drive": queries.drive(contest.drive_minutes),
        "tasks": contest.tasks.dated().select_related("person"),
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
    contest = _contest(request, pk)
    stored = contest.version
    with timezone.override(contest.zone):
        form = ContestForm(request.POST or None, instance=contest, team=request.team)
        if request.method == "POST" and form.is_valid():
            seen = form.cleaned_data["seen"] or stored
            try:
                actions.change_contest(contest=form.save(commit=False), seen=seen, by=request.user)
            except Conflict as conflict:
                return _contest_form(
                    request, form, contest=contest, current=_theirs(form, conflict.current),
                    seen=conflict.current.version, by=conflict.current.changed_by, status=409,
                )  # fmt: skip
            except ValidationError as error:
                refuse_with(form, error)
            else:
                return redirect("contests:show_contest", request.team.slug, pk)
        return _contest_form(request, form, contest=contest, seen=stored)


def _theirs(form: ContestForm | EntryForm, current: Any) -> list[tuple[Any, Any, Any]]:
    """Field by field where theirs and ours differ: label, theirs, ours."""
    rows = []
    for name in form._meta.fields or ():
        theirs, ours = getattr(current, name), getattr(form.instance, name, None)
        if theirs != ours:
            shown = f"get_{name}_display"
            pair = [
                getattr(row, shown)() if hasattr(row, shown) else getattr(row, name, None)
                for row in (current, form.instance)
            ]
            rows.append((form.fields[name].label or name, pair[0], pair[1]))
    return rows


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def delete_contest(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Ask once, saying what goes with it; then take it away."""
    contest = _contest(request, pk)
    if request.method == "POST":
        actions.delete_contest(contest=contest)
        messages.success(request, f"{contest.name} is deleted.")
        return redirect("contests:show_contests", request.team.slug)
    return render(request, "contests/delete.html", {"contest": contest})


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def add_entry(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Add a box that the team will turn in."""
    contest = _contest(request, pk)
    entry = Entry(rulebook=default_rulebook(request.team))
    return _entry_page(request, contest, entry)


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def change_entry(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Change an entry, or take it away."""
    rows = Entry.objects.for_team(request.team).select_related("contest", "category")
    entry = get_object_or_404(rows, pk=pk)
    return _entry_page(request, _contest(request, entry.contest_id), entry)


def _entry_page(request: TeamRequest, contest: Contest, entry: Entry) -> HttpResponse:
    entry.contest = contest
    stored = entry.version
    page: dict[str, Any] = {"contest": contest, "entry": None, "seen": stored}
    if not entry._state.adding:
        page["entry"] = entry
    status = 200
    with timezone.override(contest.zone):
        form = EntryForm(request.POST or None, instance=entry, contest=contest)
        if request.method == "POST":
            status = 422
            if form.is_valid():
                try:
                    _save_entry(form, stored, request)
                except Conflict as conflict:
                    current = conflict.current
                    page |= {"current": _theirs(form, current), "by": current.changed_by}
                    page["seen"], status = current.version, 409
                except ValidationError as error:
                    refuse_with(form, error)
                else:
                    return redirect("contests:show_contest", request.team.slug, contest.pk)
        page["form"] = form
        return render(request, "contests/entry_form.html", page, status=status)


def _save_entry(form: EntryForm, stored: int, request: TeamRequest) -> Entry:
    typed = form.cleaned_data
    entry = form.save(commit=False)
    entry.window_closes_at = typed["window_closes_at"]
    return actions.save_entry(
        entry=entry,
        category_name=typed["category_name"],
        ancillary=typed["ancillary"],
        seen=typed["seen"] or stored,
        by=request.user,
    )


@require_POST
@team_view(Permission.PLAN)
def delete_entry(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Take an entry away with its sheets; the page asked before."""
    entry = get_object_or_404(Entry.objects.for_team(request.team), pk=pk)
    actions.delete_entry(entry=entry)
    return redirect("contests:show_contest", request.team.slug, entry.contest_id)


@require_POST
@team_view(Permission.PLAN)
def add_task(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Add a dated to-do to a contest."""
    contest = _contest(request, pk)
    form = TaskForm(request.POST, contest=contest)
    if not form.is_valid():
        with timezone.override(contest.zone):
            page = _contest_page(request, contest, task_form=form)
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


@require_POST
@team_view(Permission.PLAN)
def delete_task(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Take a to-do or a step away."""
    task = get_object_or_404(Task.objects.for_team(request.team), pk=pk)
    task.delete()
    name = "contests:show_contest" if task.due_on else "contests:show_prep"
    return redirect(name, request.team.slug, task.contest_id)


@require_http_methods(GET_OR_POST)
@team_view(Permission.SEE)
def show_prep(request: TeamRequest, pk: UUID) -> HttpResponse:
    """The day's steps on the contest's clock; a step more for those who plan."""
    contest = _contest(request, pk)
    request.membership.require(Permission.PLAN if request.method == "POST" else Permission.SEE)
    form = StepForm(request.POST or None, contest=contest)
    if request.method == "POST" and form.is_valid():
        actions.save_task(task=form.save(commit=False))
        return redirect("contests:show_prep", request.team.slug, pk)
    page = {
        "sheet": queries.prep_sheet(contest),
        "contest": contest,
        "form": form,
        "may_plan": request.membership.may(Permission.PLAN),
        "may_log": request.membership.may(Permission.LOG),
    }
    return render(request, "contests/prep.html", page, status=422 if form.errors else 200)


@require_POST
@team_view(Permission.PLAN)
def add_usual_steps(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Put the usual steps of a steak on the prep sheet."""
    contest = _contest(request, pk)
    added = steps.add_usual_steps(contest=contest)
    many = "1 step" if added == 1 else f"{added} steps"
    words = f"{many} added under each steak’s own box." if added else "Nothing to add to a steak."
    messages.success(request, words)
    return redirect("contests:show_prep", request.team.slug, pk)


@require_GET
@team_view(Permission.SEE)
def print_prep(request: TeamRequest, pk: UUID) -> HttpResponse:
    """The prep sheet on paper."""
    contest = _contest(request, pk)
    pdf = prep_pdf(queries.prep_sheet(contest), request.team)
    answer = HttpResponse(pdf, content_type="application/pdf")
    answer["Content-Disposition"] = 'inline; filename="prep-sheet.pdf"'
    return answer
