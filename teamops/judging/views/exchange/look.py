"""What each column means and what would happen to each row; and the press that takes it in."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from teamops.judging.actions.exchange import OPEN, put_right, queue_import, take_sheet
from teamops.judging.forms.exchange import answered, chosen_columns, mended
from teamops.judging.imports import Columns, Plan, criteria_of, remember
from teamops.judging.tasks import run_import, take_in_batch
from teamops.judging.views.exchange.board import look_page, plan_of
from teamops.judging.views.exchange.bring import read_below, read_columns
from teamops.judging.views.exchange.going import done_page
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.models import ImportBatch
from teamops.teams.roles import Permission
from teamops.web.pages import page_or_part, vary_on_htmx

SHORT = 300  # rows that are taken in while one waits; more are the worker's
ANEW = (
    "Not taken in yet: you put something right on this page, so here is what would happen now."
    " Look, then press again."
)


@require_http_methods(["GET", "POST"])
@team_view(Permission.PLAN)
def show_import(request: TeamRequest, pk: UUID) -> HttpResponse:
    """An import at its stage: to be looked through and put right, under way, or done."""
    batch = batch_of(request, pk)
    if batch.state not in OPEN:
        return done_page(request, batch)
    if request.method == "POST":
        if "sheet" not in request.POST or not _other_sheet(request, batch):
            _put_right(request, batch)
        return redirect(request.get_full_path())  # the same page of rows
    return _look(request, batch)


@require_http_methods(["POST"])
@team_view(Permission.PLAN)
def take_in(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Take it in, once, as it was shown; a few rows at once, many by the worker."""
    batch = batch_of(request, pk)
    if batch.state not in OPEN:
        return redirect("judging:import_progress", request.team.slug, pk)
    if _put_right(request, batch):
        messages.warning(request, ANEW)
        return _look(request, batch, status=422)
    made = plan_of(request.team, batch)
    if not made.is_good:
        return _look(request, batch, made, status=422)
    remember(request.team, batch.cells, batch.columns)
    if queue_import(batch=batch):
        if batch.rows <= SHORT:
            run_import(batch.pk, request.user.pk)
        else:
            take_in_batch.enqueue(str(batch.pk), request.user.pk)
    return redirect("judging:import_progress", request.team.slug, pk)


def batch_of(request: TeamRequest, pk: UUID) -> ImportBatch:
    rows = ImportBatch.objects.for_team(request.team).select_related("brought_by", "undone_by")
    batch = get_object_or_404(rows, pk=pk)
    batch.team = request.team
    return batch


def _put_right(request: TeamRequest, batch: ImportBatch) -> bool:
    """Keep what the page sends; whether it is something else than the page had shown."""
    made = plan_of(request.team, batch)
    shown = answered(Columns.of(batch.columns), made.questions)
    asked = chosen_columns(request.POST, shown, criteria_of(request.team), made.questions)
    row = request.POST.get("heading", "")
    if row.isdecimal() and 0 < int(row[:6]) <= len(batch.cells) and int(row) not in shown.heading:
        asked = read_below(request.team, batch.cells, int(row))
    cells = mended(request.POST, batch.cells)
    put_right(batch=batch, columns=asked.as_dict(), cells=cells)
    return asked != shown or cells is not None


def _other_sheet(request: TeamRequest, batch: ImportBatch) -> bool:
    """Turn to another sheet of the workbook, if that was asked for."""
    for name, cells in batch.said.get("sheets", []):
        if name == request.POST["sheet"] and cells != batch.cells:
            columns = read_columns(request.team, cells).as_dict()
            return take_sheet(batch=batch, cells=cells, columns=columns)
    return False


def _look(
    request: TeamRequest, batch: ImportBatch, made: Plan | None = None, status: int = 200
) -> HttpResponse:
    page, only = request.GET.get("page", ""), request.GET.get("only", "")
    board = look_page(
        batch,
        Columns.of(batch.columns),
        made or plan_of(request.team, batch),
        criteria_of(request.team),
        page=int(page) if page.isdecimal() and len(page) < 6 else 1,
        only=only,
    )
    sheets = [
        (name, len(cells), cells == batch.cells) for name, cells in batch.said.get("sheets", [])
    ]
    template = page_or_part(
        request, "judging/exchange/import.html", "judging/exchange/_import.html"
    )
    context = {"batch": batch, "board": board, "sheets": sheets, "failed": _failed(batch)}
    return vary_on_htmx(render(request, template, context, status=status))


def _failed(batch: ImportBatch) -> list[str]:
    """Why it was not taken in, the last time it was tried."""
    words: list[str] = batch.said.get("words", [])
    return words if batch.state == ImportBatch.State.FAILED else []
