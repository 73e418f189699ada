"""Saved sheets that are not what they should be, each put right by one press."""

from uuid import UUID

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import Http404, HttpResponse, HttpResponseBadRequest
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from teamops.contests.models import Entry
from teamops.judging import actions, queries
from teamops.judging.forms.mend import BookForm, MendForm
from teamops.judging.models import Result, ScoreSheet
from teamops.rules.models import Rulebook
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.teams.versions import Conflict


@require_http_methods(["GET", "POST"])
@team_view(Permission.LOG)
def mend_sheets(request: TeamRequest, pk: UUID) -> HttpResponse:
    """
    The saved sheets, and what can be wrong with one: not ours, columns or boxes swapped.

    Which rulebook judged the box is for who may plan.
    """
    rows = Entry.objects.for_team(request.team)
    entry = get_object_or_404(rows.select_related("contest__team", "category", "rulebook"), pk=pk)
    with timezone.override(entry.contest.zone):
        if request.method == "POST":
            return _press(request, entry)
        envelope = queries.envelope(entry)
        seen = envelope.result.version if envelope.result else 0
        others = rows.filter(contest=entry.contest, category=entry.category).exclude(pk=pk)
        page = {
            "entry": entry,
            "contest": entry.contest,
            "envelope": envelope,
            "seen": seen,
            "others": [
                (queries.entry_name(other), other.pk, _seen(other))
                for other in others.select_related("category", "cook_of_record", "result")
                if other.rulebook_id == entry.rulebook_id
            ],
            "books": BookForm(entry=entry) if request.membership.may(Permission.PLAN) else None,
            "corrections": queries.corrections_of(entry),
        }
        return render(request, "judging/mend.html", page)


def _seen(entry: Entry) -> int:
    result: Result | None = getattr(entry, "result", None)
    return result.version if result else 0


def _press(request: TeamRequest, entry: Entry) -> HttpResponse:
    form = MendForm(request.POST)
    if not form.is_valid():
        return HttpResponseBadRequest("This page is not whole. Load it again.")
    try:
        messages.success(request, _mend(request, entry, form))
    except ScoreSheet.DoesNotExist as error:
        raise Http404("No such sheet.") from error
    except ValidationError as error:
        messages.error(request, " ".join(error.messages))
    except Conflict:
        words = "The sheets were saved since you opened this page. Look again, then press again."
        messages.warning(request, words)
    return redirect("judging:mend_sheets", request.team.slug, entry.pk)


def _mend(request: TeamRequest, entry: Entry, form: MendForm) -> str:
    """Do what was pressed; what was done, in a sentence."""
    asked, by = form.cleaned_data, request.user
    seen, sheet = asked["seen"], asked["sheet"]
    entries = Entry.objects.for_team(request.team)
    match asked["press"]:
        case form.NOT_OURS:
            actions.take_out_sheet(entry=entry, sheet_id=sheet, seen=seen, by=by)
            return "The sheet is out of the sums. What stood on it is written below."
        case form.COLUMNS:
            actions.swap_columns(
                entry=entry,
                sheet_id=sheet,
                first=asked["first"] or 0,
                second=asked["second"] or 0,
                seen=seen,
                by=by,
            )
            return "The two columns have changed places."
        case form.SHEET | form.ALL:
            actions.swap_boxes(
                entry=entry,
                other=get_object_or_404(entries, pk=asked["other"]),
                seen=seen,
                other_seen=asked["other_seen"] or 0,
                by=by,
                sheet_id=sheet if asked["press"] == form.SHEET else None,
            )
            return "The sheets have changed places."
    if not request.membership.may(Permission.PLAN):
        raise PermissionDenied("Your role logs. Ask a cook to say which rulebook judged it.")
    books = Rulebook.objects.for_team(request.team)
    book = get_object_or_404(books, pk=asked["rulebook"])
    actions.judge_by(entry=entry, rulebook=book, seen=seen, by=by)
    return f"The sheets are added up by {book} now."
