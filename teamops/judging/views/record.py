from datetime import timedelta
from typing import Any
from uuid import UUID, uuid4

from django.core.exceptions import PermissionDenied, ValidationError
from django.http import Http404, HttpResponse, HttpResponseBadRequest, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from teamops.contests.models import Entry
from teamops.contests.queries.protest import ProtestState, protest_state
from teamops.judging import actions, queries
from teamops.judging.forms import (
    CriterionTotalsForm,
    PageForm,
    PostedForm,
    RoundForms,
    SheetForms,
)
from teamops.judging.forms.rounds import with_another_round
from teamops.judging.forms.sheets import with_another_row
from teamops.judging.models import ScoreSheet
from teamops.judging.views.page import panel_judges, score_board
from teamops.rules.models import Criterion
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.teams.versions import Conflict

PROTEST_DAYS = timedelta(days=1)


@require_http_methods(["GET", "POST"])
@never_cache  # a page from the browser's memory would not know what it has saved
@team_view(Permission.SEE)
def record_scores(request: TeamRequest, pk: UUID) -> HttpResponse:
    """An entry's score table: anyone of the team reads it, who may log types and saves it."""
    entries = Entry.objects.for_team(request.team)
    entry = get_object_or_404(
        entries.select_related("contest", "category", "rulebook", "cook_of_record"), pk=pk
    )
    with timezone.override(entry.contest.zone):
        if request.method == "POST":
            if not request.membership.may(Permission.LOG):
                raise PermissionDenied("Your role reads score sheets. Ask a cook to type this.")
            return _save(request, entry)
        return _show(request, entry)


def _show(request: TeamRequest, entry: Entry) -> HttpResponse:
    envelope = queries.envelope(entry)
    result = envelope.result
    stored = [line.sheet for line in envelope.sheets]
    rounds = RoundForms.of(stored)
    judges = panel_judges(entry.rulebook, envelope.panels)
    page = {
        "sheets": SheetForms.of(envelope.criteria, stored, judges),
        "rounds": rounds,
        "given": _given(envelope),
        "posted": PostedForm(
            instance=entry, initial={"table": rounds.forms[0].initial.get("table", "")}
        ),
        "seen": result.version if result else 0,
        "op": uuid4(),
        "just_saved": bool(result and request.GET.get("saved") == str(result.saved_op)),
    }
    return _render(request, envelope, page)


def _save(request: TeamRequest, entry: Entry) -> HttpResponse:
    sent = PageForm(request.POST)
    if not sent.is_valid():
        return HttpResponseBadRequest("This page is not whole. Load it again.")
    page: dict[str, Any] = sent.cleaned_data.copy()
    criteria = list(entry.rulebook.criteria.all())
    data = _grown(request.POST, entry, criteria)
    page["sheets"] = sheets = SheetForms(data, criteria=criteria)
    page["rounds"] = rounds = RoundForms(data)
    page["given"] = given = CriterionTotalsForm(data, criteria=criteria)
    page["posted"] = posted = PostedForm(data, instance=_copy(entry))
    if data is not request.POST or "redraw" in data:
        return _render(request, queries.envelope(entry), page)
    valid = [form.is_valid() for form in (sheets, rounds, given, posted)]
    if not all(valid):
        return _render(request, queries.envelope(entry), page, status=422)
    try:
        actions.record_scores(
            entry=entry,
            seen=page["seen"],
            sheets=sheets.typed(posted.cleaned_data["table"], rounds),
            criterion_totals=given.totals if given.was_asked else None,
            official=posted.official,
            by=request.user,
            op=page["op"],
        )
    except ScoreSheet.DoesNotExist as error:
        raise Http404("No such sheet.") from error
    except ValidationError as error:
        page["refused"] = error.messages
        return _render(request, queries.envelope(entry), page, status=422)
    except Conflict as conflict:  # theirs beside ours; what was typed is still in the form
        theirs = queries.envelope(_copy(entry))
        page |= {"theirs": theirs, "seen": conflict.current.version}
        return _render(request, theirs, page, status=409)
    url = reverse("judging:record_scores", args=[request.team.slug, entry.pk])
    return redirect(f"{url}?{urlencode({'saved': page['op']})}")


def _grown(data: QueryDict, entry: Entry, criteria: list[Criterion]) -> QueryDict:
    """What was typed, with the row or the round more that was asked for, if one was."""
    for name in data:
        if name == "add" or name.startswith("add_to_"):
            said = name.removeprefix("add").removeprefix("_to_")
            number = int(said) if said.isascii() and said.isdecimal() and len(said) < 3 else 0
            return with_another_row(data, str(data[name]), number)
    if "add_round" not in data:
        return data
    before = len(RoundForms(data))
    data = with_another_round(data)
    place = len(RoundForms(data)) - 1
    if place < before:
        return data
    panels = list(dict.fromkeys(criterion.panel for criterion in criteria)) or [""]
    for panel, judges in panel_judges(entry.rulebook, panels).items():
        for _ in range(judges):
            data = with_another_row(data, panel, place)
    return data


def _given(envelope: queries.Envelope) -> CriterionTotalsForm | None:
    """Fields for totals by criterion, as long as no judge's mark is known."""
    marks = (cell.points for line in envelope.sheets for cell in line.cells)
    if any(points is not None for points in marks):
        return None
    return CriterionTotalsForm(criteria=envelope.criteria, stored=envelope.given)


def _copy(entry: Entry) -> Entry:
    """The entry as it is stored: a bound form writes what was typed on the one it gets."""
    rows = Entry.objects.select_related("contest", "category", "rulebook", "cook_of_record")
    return rows.get(pk=entry.pk)


def _render(
    request: TeamRequest, envelope: queries.Envelope, page: dict[str, Any], status: int = 200
) -> HttpResponse:
    entry = envelope.entry
    result = envelope.result
    board = score_board(envelope, page["sheets"], page["rounds"], page.get("theirs"))
    page |= {
        "entry": entry,
        "contest": entry.contest,
        "envelope": envelope,
        "result": result if result and result.version else None,
        "board": board,
        "may_log": request.membership.may(Permission.LOG),
        "saved_ops": _saved_ops(entry),
        "protest": _protest(entry),
    }
    return render(request, "judging/record.html", page, status=status)


def _protest(entry: Entry) -> ProtestState | None:
    """Until when one may protest, on the contest's day and the days beside it."""
    apart = timezone.localdate() - entry.contest.held_on
    return protest_state(entry, timezone.now()) if abs(apart) <= PROTEST_DAYS else None


def _saved_ops(entry: Entry) -> str:
    """The pages that saved this table lately: a draft of one of them is no longer needed."""
    result = queries.last_saves(entry)
    return " ".join(str(op) for op in result)
