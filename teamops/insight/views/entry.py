from uuid import UUID

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from teamops.contests.models import Entry
from teamops.insight import queries
from teamops.insight.pdf import report_pdf
from teamops.insight.queries.marks import marks_picture
from teamops.insight.queries.tables import at_its_table
from teamops.insight.views.drawn import drawing, drawn_answer
from teamops.judging.queries import corrections_of
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


def _entry(request: TeamRequest, pk: UUID) -> Entry:
    rows = Entry.objects.for_team(request.team)
    return get_object_or_404(
        rows.select_related("contest", "category", "rulebook", "cook_of_record"), pk=pk
    )


@require_GET
@team_view(Permission.SEE)
def show_entry(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Where one entry's points went, with its sheets."""
    entry = _entry(request, pk)
    found = queries.entry_page(entry)
    page = {
        "page": found,
        "at_table": at_its_table(entry),
        "marks": marks_picture(found),
        "corrections": corrections_of(entry),
        "may_log": request.membership.may(Permission.LOG),
    }
    return render(request, "insight/entry.html", page)


@drawing
@require_GET
@team_view(Permission.SEE)
def draw_entry(request: TeamRequest, pk: UUID, key: str) -> HttpResponse:
    """An entry's marks by judge and criterion as SVG; `key` names the content the page saw."""
    marks = marks_picture(queries.entry_page(_entry(request, pk)))
    if marks is None:
        raise Http404("No such picture.")

    def draw(theme: str) -> str:
        from teamops.insight.pictures.marks import draw_marks  # matplotlib takes a second to load

        return draw_marks(marks, theme)

    return drawn_answer(request, f"marks-{marks.key}", draw, seen=key == marks.key)


@require_GET
@team_view(Permission.SEE)
def print_entry(request: TeamRequest, pk: UUID) -> HttpResponse:
    """The same on paper."""
    page = queries.entry_page(_entry(request, pk))
    answer = HttpResponse(report_pdf(page, request.team), content_type="application/pdf")
    answer["Content-Disposition"] = 'inline; filename="score-report.pdf"'
    return answer
