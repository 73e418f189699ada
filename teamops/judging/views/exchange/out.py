"""What is taken out: a table to fill in, and everything of the team."""

from django.http import Http404, HttpResponse
from django.utils import timezone
from django.utils.text import slugify
from django.views.decorators.http import require_GET

from teamops.judging.exports import KINDS, csv_of, workbook_of
from teamops.judging.imports import template_csv, template_xlsx
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission

CSV = "text/csv; charset=utf-8"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@require_GET
@team_view(Permission.SEE)
def download_template(request: TeamRequest, ending: str) -> HttpResponse:
    """The table to fill in, with two made-up rows: as XLSX, which explains itself, or CSV."""
    if ending == "xlsx":
        return _file(template_xlsx(request.team), XLSX, "score-sheets-to-fill-in.xlsx")
    if ending == "csv":
        return _file(template_csv(request.team), CSV, "score-sheets-to-fill-in.csv")
    raise Http404("No such template.")


@require_GET
@team_view(Permission.SEE)
def export_csv(request: TeamRequest, kind: str) -> HttpResponse:
    """One kind of everything, as CSV."""
    if kind not in KINDS:
        raise Http404("No such table.")
    title = slugify(KINDS[kind].title)
    return _file(csv_of(request.team, kind), CSV, f"{_stem(request)}-{title}.csv")


@require_GET
@team_view(Permission.SEE)
def export_xlsx(request: TeamRequest) -> HttpResponse:
    """All kinds in one workbook, a sheet each."""
    return _file(workbook_of(request.team), XLSX, f"{_stem(request)}-everything.xlsx")


def _stem(request: TeamRequest) -> str:
    return f"{request.team.slug}-{timezone.localdate().isoformat()}"


def _file(data: bytes, kind: str, name: str) -> HttpResponse:
    answer = HttpResponse(data, content_type=kind)
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    answer["Cache-Control"] = "private, no-store"
    answer["X-Content-Type-Options"] = "nosniff"
    return answer
