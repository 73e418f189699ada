"""Bringing a file or a pasted text: the first page of an import, and what was brought before."""

from dataclasses import replace
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from teamops.judging.actions.exchange import keep_import
from teamops.judging.exports import KINDS
from teamops.judging.forms.exchange import BringForm, storable
from teamops.judging.imports import Columns, guess, remembered
from teamops.judging.queries.exchange import earlier_imports
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.models import ImportBatch, Team
from teamops.teams.roles import Permission
from teamops.web.uploads import too_large

Cells = list[list[str]]
MOST_HEADINGS = 5  # further down that are passed over where another row has the headings
MOST_GUESSED = 20  # sheets of a workbook that are looked into for the scores


@require_GET
@team_view(Permission.SEE)
def show_exchange(request: TeamRequest) -> HttpResponse:
    """Bring in, take out: both ways, and the earlier imports."""
    return _page(request, BringForm())


@require_http_methods(["GET", "POST"])
@team_view(Permission.PLAN)
def add_import(request: TeamRequest) -> HttpResponse:
    """Read a file or a pasted text and go on to what its columns mean."""
    if request.method == "GET":
        return redirect("judging:show_exchange", request.team.slug)
    form = BringForm(request.POST, request.FILES, too_large=too_large(request))
    if not form.is_valid():
        return _page(request, form, status=422)
    sheets = [(table.name, storable(table)) for table in form.tables]
    readings = [read_columns(request.team, cells) for _, cells in sheets[:MOST_GUESSED]]
    best = max(range(len(readings)), key=lambda place: _meant(readings[place]))
    batch = keep_import(
        team=request.team,
        name=form.name,
        cells=sheets[best][1],
        columns=readings[best].as_dict(),
        by=request.user,
        sheets=sheets,
    )
    return redirect("judging:show_import", request.team.slug, batch.pk)


@require_http_methods(["POST"])
@team_view(Permission.PLAN)
def repeat_import(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Look through an import again that was undone: the same rows, as they were understood."""
    batch = get_object_or_404(ImportBatch.objects.for_team(request.team), pk=pk)
    again = keep_import(
        team=request.team,
        name=batch.name,
        cells=batch.cells,
        columns=batch.columns,
        by=request.user,
    )
    return redirect("judging:show_import", request.team.slug, again.pk)


def read_columns(team: Team, cells: Cells) -> Columns:
    """What the columns mean: as the last time for these headings, else as guessed."""
    return remembered(team, cells) or guess(cells, team)


def read_below(team: Team, cells: Cells, row: int) -> Columns:
    """What the columns mean where the headings stand in this row, from 1; all above is words."""
    below = list(cells[row - 1 :])
    columns = guess(below, team)
    for _ in range(MOST_HEADINGS):  # what looks like headings further down is not asked
        if not columns.heading or columns.heading[0] == 1:
            break
        del below[columns.heading[0] - 1]
        columns = guess(below, team)
    if columns.heading:
        return replace(columns, heading=tuple(at + row - 1 for at in columns.heading))
    heads = zip(columns.columns, cells[row - 1], strict=True)
    named = tuple(replace(column, name=" ".join(head.split())) for column, head in heads)
    return replace(columns, columns=named, heading=(row,))


def _meant(columns: Columns) -> int:
    """How many columns of a sheet say something."""
    return sum(column.code not in ("", "skip") for column in columns.columns)


def _page(request: TeamRequest, form: BringForm, status: int = 200) -> HttpResponse:
    page = {
        "form": form,
        "kinds": [(key, kind.title, kind.words) for key, kind in KINDS.items()],
        "imports": earlier_imports(request.team),
        "may_plan": request.membership.may(Permission.PLAN),
    }
    return render(request, "judging/exchange/show.html", page, status=status)
