from datetime import datetime
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from teamops.contests.queries import time_of_day
from teamops.inventory.conflicts import differences
from teamops.inventory.queries import item_group_names
from teamops.inventory.words import say_amount
from teamops.packing import actions, queries
from teamops.packing.forms import HaveForm, LineForm, OwnLineForm
from teamops.packing.models import PackingLine
from teamops.packing.views.lists import find_list
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.teams.versions import Conflict
from teamops.web.forms import refuse

GET_OR_POST = ["GET", "POST"]


def _line(request: TeamRequest, pk: UUID) -> PackingLine:
    rows = PackingLine.objects.for_team(request.team).select_related("packing_list__trip")
    line = get_object_or_404(rows, pk=pk)
    line.packing_list.trip.team = request.team
    return line


def _to_board(request: TeamRequest, line: PackingLine) -> HttpResponseRedirect:
    url = reverse("packing:show_list", args=[request.team.slug, line.packing_list_id])
    return redirect(f"{url}#line-{line.pk}")


@require_GET
@team_view(Permission.SEE)
def show_line(request: TeamRequest, pk: UUID) -> HttpResponse:
    """One line: how its amount came about, what there is of it, and where to change it."""
    return _line_page(request, _line(request, pk), HaveForm())


def _line_page(request: TeamRequest, line: PackingLine, form: HaveForm) -> HttpResponse:
    opened = line.shopping.filter(bought_at=None).first()
    page = {
        "line": line,
        "amount": say_amount(line.amount, line.unit),
        "working": queries.working_words(line),
        "short": queries.short_words(line, bought=opened is not None),
        "ticks": [
            (word, by, _moment(at))
            for word, by, at in (
                ("Packed", line.packed_by, line.packed_at),
                ("Loaded", line.loaded_by, line.loaded_at),
                ("Home again", line.home_by, line.home_at),
            )
            if at
        ],
        "form": form,
        "changed": line.amount_own or (not line.amount and not line.own),
        "may_log": request.membership.may(Permission.LOG),
        "may_plan": request.membership.may(Permission.PLAN),
    }
    return render(request, "packing/line.html", page, status=422 if form.errors else 200)


def _moment(at: datetime) -> str:
    """When something was ticked, on the team's clock: Sat 13 Jun, 2:15 pm."""
    local = timezone.localtime(at)
    return f"{local:%a} {local.day} {local:%b}, {time_of_day(local)}"


@require_POST
@team_view(Permission.LOG)
def set_have(request: TeamRequest, pk: UUID) -> HttpResponse:
    """“We have only so many”: the rest goes on the shopping list; `enough` takes it back."""
    line = _line(request, pk)
    if "enough" in request.POST:
        actions.set_have(line=line, have=None, by=request.user)
        return _to_board(request, line)
    form = HaveForm(request.POST)
    if not form.is_valid():
        return _line_page(request, line, form)
    line = actions.set_have(line=line, have=form.cleaned_data["have"], by=request.user)
    words = queries.short_words(line, bought=True)
    messages.success(request, f"{line.name}: {words or 'that is enough'}.")
    return _to_board(request, line)


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def add_line(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Put something on the list by hand."""
    line = PackingLine(packing_list=find_list(request, pk), amount=1)
    return _form_page(request, line)


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def change_line(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Change a line by hand; a conflict shows theirs beside ours."""
    return _form_page(request, _line(request, pk))


def _form_page(request: TeamRequest, line: PackingLine) -> HttpResponse:
    known = None if line._state.adding else line
    stored, sent = line.version, request.POST or None
    form: LineForm | OwnLineForm
    if known is None or line.own:
        form = OwnLineForm(sent, instance=line, team=request.team)
    else:
        form = LineForm(sent, instance=line)
    page: dict[str, Any] = {
        "form": form, "line": known, "packing_list": line.packing_list, "seen": stored,
        "groups": item_group_names(request.team),
    }  # fmt: skip
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            try:
                _save(request, form, stored)
            except Conflict as conflict:
                theirs = conflict.current
                page |= {"current": differences(form, theirs), "by": theirs.changed_by}
                page["seen"], status = theirs.version, 409
            except ValidationError as error:
                refuse(form, error)
            else:
                return _to_board(request, line)
    return render(request, "packing/line_form.html", page, status=status)


def _save(request: TeamRequest, form: LineForm | OwnLineForm, stored: int) -> None:
    line = form.save(commit=False)
    if line._state.adding:
        actions.add_line(line=line, by=request.user)
    else:
        seen = form.cleaned_data["seen"] or stored
        actions.change_line(line=line, seen=seen, by=request.user)


@require_POST
@team_view(Permission.PLAN)
def leave_out(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Take a line off the list; one that was worked out can come back."""
    line = _line(request, pk)
    actions.leave_out(line=line, by=request.user)
    messages.success(request, f"{line.name} is off the list.")
    return redirect("packing:show_list", request.team.slug, line.packing_list_id)


@require_POST
@team_view(Permission.PLAN)
def take_again(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Bring a line back to the amount that was worked out."""
    line = actions.take_again(line=_line(request, pk), by=request.user)
    return _to_board(request, line)
