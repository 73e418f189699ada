from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse, HttpResponseBadRequest
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from teamops.contests.models import Entry
from teamops.insight.queries.rival import RivalPage, rival_page
from teamops.insight.rival_forms import RivalSheetsForm
from teamops.judging.actions.rival import how_sheets_stand, keep_rival_sheets
from teamops.judging.models import FieldLine
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.teams.versions import Conflict
from teamops.web.forms import refuse


def _page(request: TeamRequest, pk: UUID, rival: str) -> RivalPage:
    entry = get_object_or_404(
        Entry.objects.for_team(request.team).filter(result__isnull=False), pk=pk
    )
    return rival_page(request.team, entry, int(rival) if _is_number(rival) else None)


def _is_number(text: str) -> bool:
    return text.isascii() and text.isdecimal() and len(text) < 16


def _line(page: RivalPage) -> FieldLine:
    return get_object_or_404(FieldLine.objects.filter(posting=page.posting_id), pk=page.line_id)


@require_GET
@team_view(Permission.SEE)
def show_rival(request: TeamRequest, pk: UUID) -> HttpResponse:
    """A box beside a rival's: where their points over ours came from."""
    page = _page(request, pk, request.GET.get("rival", ""))
    form = None
    if page.line_id is not None and page.side.sheets:
        line = _line(page)
        form = RivalSheetsForm.of(
            page.typed, how_sheets_stand(line), side=page.side, criteria=page.criteria
        )
    return _answer(request, page, form)


@require_POST
@team_view(Permission.LOG)
def record_rival(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Keep a rival's sheets as they were shown to us."""
    asked = request.POST.get("rival", "")
    page = _page(request, pk, asked)
    if page.line_id is None or str(page.line_id) != asked:
        return HttpResponseBadRequest("No such rival on the list.")
    line = _line(page)
    form = RivalSheetsForm(request.POST, side=page.side, criteria=page.criteria)
    if not form.is_valid():
        return _answer(request, page, form, status=422)
    try:
        kept = keep_rival_sheets(
            line=line,
            sheets=form.sheets(),
            seen=form.cleaned_data["seen"],
            by=request.user,
        )
    except ValidationError as error:
        refuse(form, error)
        return _answer(request, page, form, status=422)
    except Conflict as conflict:  # what was typed is still in the form; theirs is said beside it
        more = {"theirs": conflict.current.sheets, "seen": how_sheets_stand(conflict.current)}
        return _answer(request, page, form, status=409, **more)
    said = "The sheets are kept." if kept.sheets else "The sheets are taken away."
    messages.success(request, said)
    url = reverse("insight:show_rival", args=[request.team.slug, pk])
    return redirect(f"{url}?rival={page.line_id}")


def _answer(
    request: TeamRequest,
    page: RivalPage,
    form: RivalSheetsForm | None,
    status: int = 200,
    **more: Any,
) -> HttpResponse:
    context = {
        "page": page,
        "form": form,
        "seen": form["seen"].value() if form else "",
        "may_log": request.membership.may(Permission.LOG),
    }
    return render(request, "insight/rival.html", context | more, status=status)
