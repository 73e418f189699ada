from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from teamops.contests.models import Trip
from teamops.inventory.conflicts import differences
from teamops.inventory.models import Item, Kit
from teamops.packing import actions, queries
from teamops.packing.forms import NumbersForm
from teamops.packing.models import PackingList
from teamops.packing.pdf import list_pdf
from teamops.packing.stages import Stage
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.teams.versions import Conflict
from teamops.web.forms import refuse

GET_OR_POST = ["GET", "POST"]
COUNTED = ("entries", "steaks", "days", "judge_bites")  # what the contests themselves tell


def find_list(request: TeamRequest, pk: UUID) -> PackingList:
    """The team's list of this id, or 404."""
    rows = PackingList.objects.for_team(request.team).select_related("trip")
    packing_list = get_object_or_404(rows, pk=pk)
    packing_list.trip.team = request.team
    return packing_list


@require_GET
@team_view(Permission.SEE)
def show_lists(request: TeamRequest) -> HttpResponse:
    """Trips with their packing lists, and the offer to make one."""
    page = {
        "trips": queries.trip_rows(request.team),
        "may_plan": request.membership.may(Permission.PLAN),
    }
    return render(request, "packing/lists.html", page)


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def make_list(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Work out a trip's list from its contests' numbers, as far as they are known."""
    trip = get_object_or_404(Trip.objects.for_team(request.team), pk=pk)
    trip.team = request.team
    known = PackingList.objects.filter(trip=trip).first()
    if known:
        return redirect("packing:show_list", request.team.slug, known.pk)
    guess = queries.guess_numbers(trip)
    packing_list = PackingList(trip=trip)
    form = _numbers_form(request, packing_list, initial=guess.initial)
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        try:
            made = actions.make_list(
                packing_list=form.save(commit=False), kits=typed.get("kits"),
                with_starters=typed.get("with_starters", False), by=request.user,
            )  # fmt: skip
        except ValidationError as error:
            refuse(form, error)
        else:
            return redirect("packing:show_list", request.team.slug, made.pk)
    page = {"form": form, "trip": trip, "unknown": guess.unknown}
    status = 422 if form.errors else 200
    return render(request, "packing/numbers_form.html", page, status=status)


def _numbers_form(request: TeamRequest, packing_list: PackingList, **more: Any) -> NumbersForm:
    return NumbersForm(
        request.POST or None,
        instance=packing_list,
        kits=list(Kit.objects.for_team(request.team)),
        has_items=Item.objects.for_team(request.team).exists(),
        **more,
    )


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def change_numbers(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Work a list out again; ticks and what was done by hand stay, and it says what changed."""
    packing_list = find_list(request, pk)
    stored = packing_list.version
    guess = queries.guess_numbers(packing_list.trip)
    before = {name: getattr(packing_list, name) for name in COUNTED}
    form = _numbers_form(request, packing_list)
    form.fields.pop("with_starters", None)
    page: dict[str, Any] = {
        "form": form, "trip": packing_list.trip, "packing_list": packing_list, "seen": stored,
        "unknown": guess.unknown, "told": _told(form, guess, before),
    }  # fmt: skip
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            try:
                news = actions.remake_list(
                    packing_list=form.save(commit=False), kits=form.cleaned_data.get("kits"),
                    seen=form.cleaned_data["seen"] or stored, by=request.user,
                )  # fmt: skip
            except Conflict as conflict:
                theirs = conflict.current
                page |= {"current": differences(form, theirs), "by": theirs.changed_by}
                page["seen"], status = theirs.version, 409
            except ValidationError as error:
                refuse(form, error)
            else:
                if not news:
                    messages.success(request, "Worked out again: nothing changed.")
                url = reverse("packing:show_list", args=[request.team.slug, pk])
                return redirect(f"{url}?news=1" if news else url)
    return render(request, "packing/numbers_form.html", page, status=status)


def _told(form: NumbersForm, guess: queries.Guess, before: dict[str, int]) -> list[str]:
    """Where the contests now say another number than the list was worked out from."""
    return [
        f"{form.fields[name].label}: the contests say {guess.initial[name]}, the list has {value}"
        for name, value in before.items()
        if guess.initial[name] != value
    ]


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def delete_list(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Ask once, saying what goes with it; then take the list away."""
    packing_list = find_list(request, pk)
    if request.method == "POST":
        actions.delete_list(packing_list=packing_list)
        messages.success(request, f"The packing list “{packing_list.title}” is deleted.")
        return redirect("packing:show_lists", request.team.slug)
    page = {
        "packing_list": packing_list,
        "lines": packing_list.lines.count(),
        "to_buy": packing_list.shopping.count(),
    }
    return render(request, "packing/list_delete.html", page)


@require_GET
@team_view(Permission.SEE)
def print_list(request: TeamRequest, pk: UUID) -> HttpResponse:
    """The packing sheet on paper."""
    packing_list = find_list(request, pk)
    board = queries.packing_board(packing_list, request.team.units, Stage.PACK)
    contests = queries.contest_lines(packing_list.trip)
    paper = list_pdf(packing_list, board, request.team, contests)
    answer = HttpResponse(paper, content_type="application/pdf")
    answer["Content-Disposition"] = 'inline; filename="packing-list.pdf"'
    return answer
