from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from teamops.contests.models import Entry
from teamops.insight import queries
from teamops.insight.pdf import report_pdf
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
    page = {
        "page": queries.entry_page(entry),
        "corrections": corrections_of(entry),
        "may_log": request.membership.may(Permission.LOG),
    }
    return render(request, "insight/entry.html", page)


@require_GET
@team_view(Permission.SEE)
def print_entry(request: TeamRequest, pk: UUID) -> HttpResponse:
    """The same on paper."""
    page = queries.entry_page(_entry(request, pk))
    answer = HttpResponse(report_pdf(page, request.team), content_type="application/pdf")
    answer["Content-Disposition"] = 'inline; filename="score-report.pdf"'
    return answer
