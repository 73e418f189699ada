"""The boxes of a contest."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from teamops.contests import actions, queries
from teamops.contests.forms import EntryForm, OutcomesForm, refuse_with
from teamops.contests.models import Contest, Entry
from teamops.contests.views.common import GET_OR_POST, contest_of, theirs_beside_ours
from teamops.rules.queries import default_rulebook
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.teams.versions import Conflict


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def add_entry(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Add a box that the team will turn in."""
    contest = contest_of(request, pk)
    entry = Entry(rulebook=default_rulebook(request.team))
    return _entry_page(request, contest, entry)


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def change_entry(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Change an entry, or take it away."""
    rows = Entry.objects.for_team(request.team)
    rows = rows.select_related("contest", "category", "rulebook", "cook_of_record")
    entry = get_object_or_404(rows, pk=pk)
    return _entry_page(request, contest_of(request, entry.contest_id), entry)


def _entry_page(request: TeamRequest, contest: Contest, entry: Entry) -> HttpResponse:
    entry.contest = contest
    stored = entry.version
    page: dict[str, Any] = {"contest": contest, "entry": None, "seen": stored}
    if not entry._state.adding:
        page |= {"entry": entry, "story": queries.entry_story(entry)}
    status = 200
    with timezone.override(contest.zone):
        form = EntryForm(request.POST or None, instance=entry, contest=contest)
        if request.method == "POST":
            status = 422
            if form.is_valid():
                try:
                    saved = _save_entry(form, stored, request)
                except Conflict as conflict:
                    current = conflict.current
                    page |= {"current": theirs_beside_ours(form, current), "by": current.changed_by}
                    page["seen"], status = current.version, 409
                except ValidationError as error:
                    refuse_with(form, error)
                else:
                    _warn_of(request, contest, saved)
                    return redirect("contests:show_contest", request.team.slug, contest.pk)
        form.choose_rulebook(request.GET.get("rulebook", ""))
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


def _warn_of(request: TeamRequest, contest: Contest, entry: Entry) -> None:
    """Say what is odd about the box that was just stored."""
    boxes = list(contest.entries.select_related("category", "cook_of_record"))
    for words in queries.entry_warnings(contest, boxes)[entry.pk]:
        messages.warning(request, f"{entry.category}: {words}")


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def set_outcomes(request: TeamRequest, pk: UUID) -> HttpResponse:
    """What became of every box: dropped, not judged, withdrawn, not turned in; in one press."""
    contest = contest_of(request, pk)
    boxes = list(contest.entries.select_related("category", "cook_of_record"))
    for box in boxes:
        box.contest = contest
    named = [(box, queries.box_words(box)) for box in boxes]
    form = OutcomesForm(request.POST or None, entries=named)
    if request.method == "POST" and form.is_valid():
        actions.set_outcomes(contest=contest, outcomes=form.outcomes, by=request.user)
        return redirect("contests:show_contest", request.team.slug, pk)
    page = {"form": form, "contest": contest}
    return render(request, "contests/outcomes.html", page, status=422 if form.errors else 200)


@require_POST
@team_view(Permission.PLAN)
def delete_entry(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Take an entry away with its sheets; the page asked before."""
    entry = get_object_or_404(Entry.objects.for_team(request.team), pk=pk)
    actions.delete_entry(entry=entry)
    return redirect("contests:show_contest", request.team.slug, entry.contest_id)
