"""A contest's lists behind a link, and the pages that give one."""

from uuid import UUID

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from teamops.contests.actions import checklists as actions
from teamops.contests.forms.checklists import TickForm
from teamops.contests.models import Contest, Task
from teamops.contests.queries import prep_sheet, today_of
from teamops.contests.queries.checklists import tick_board
from teamops.contests.queries.linked import prep_groups
from teamops.contests.views.common import GET_OR_POST, contest_of
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.linked import linked_view, require_tick
from teamops.teams.models import ListLink
from teamops.teams.roles import Permission
from teamops.teams.views.list_links import share_page

Kind = ListLink.Kind


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def share_todos(request: TeamRequest, pk: UUID) -> HttpResponse:
    """A link to a contest's to-dos."""
    contest = contest_of(request, pk)
    back = reverse("contests:show_checklist", args=[request.team.slug, pk])
    title = f"To-dos of {contest}"
    return share_page(request, kind=Kind.CHECKLIST, object_id=pk, title=title, back=back)


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def share_prep(request: TeamRequest, pk: UUID) -> HttpResponse:
    """A link to a contest's prep sheet."""
    contest = contest_of(request, pk)
    back = reverse("contests:show_prep", args=[request.team.slug, pk])
    title = f"Prep sheet of {contest}"
    return share_page(request, kind=Kind.PREP, object_id=pk, title=title, back=back)


def _contest(link: ListLink) -> Contest:
    contest = get_object_or_404(Contest.objects.for_team(link.team), pk=link.object_id)
    contest.team = link.team
    return contest


@require_GET
@linked_view(Kind.CHECKLIST)
def show_todos(request: HttpRequest, link: ListLink) -> HttpResponse:
    """A contest's to-dos, for whoever has the link."""
    contest = _contest(link)
    board = tick_board(contest, today_of(link.team))
    page = {"link": link, "contest": contest, "board": board, "may_tick": _may_tick(link)}
    return render(request, "contests/linked_todos.html", page)


@require_POST
@linked_view(Kind.CHECKLIST)
def tick_todo(request: HttpRequest, link: ListLink) -> HttpResponse:
    """Tick a to-do, or untick it, in the name of the link."""
    return _tick(request, link, _contest(link).tasks.all())


@require_GET
@linked_view(Kind.PREP)
def show_prep(request: HttpRequest, link: ListLink) -> HttpResponse:
    """A contest's prep sheet, for whoever has the link."""
    contest = _contest(link)
    with timezone.override(contest.zone):
        sheet = prep_sheet(contest)
        page = {
            "link": link,
            "contest": contest,
            "sheet": sheet,
            "board": prep_groups(sheet),
            "may_tick": _may_tick(link),
        }
        return render(request, "contests/linked_prep.html", page)


@require_POST
@linked_view(Kind.PREP)
def tick_step(request: HttpRequest, link: ListLink) -> HttpResponse:
    """Tick a step of the day, or untick it, in the name of the link."""
    return _tick(request, link, _contest(link).tasks.steps())


def _may_tick(link: ListLink) -> bool:
    return link.may == ListLink.May.TICK


def _tick(request: HttpRequest, link: ListLink, tasks: QuerySet[Task]) -> HttpResponse:
    """Back to the list, at the line that was pressed."""
    require_tick(link)
    form = TickForm(request.POST)
    if not form.is_valid():
        return HttpResponseBadRequest("No such line.")
    asked = form.cleaned_data
    task = get_object_or_404(tasks, pk=asked["done"] or asked["undo"])
    actions.tick(task=task, done=bool(asked["done"]), by=link.made_by, done_as=link.label)
    return redirect(f"../#line-{task.pk}")
