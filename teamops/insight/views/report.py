from hashlib import sha256

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.views.decorators.http import require_GET

from teamops.contests.queries import today_of
from teamops.insight import queries
from teamops.insight.forms import LedgerForm
from teamops.insight.keeping import keep_for
from teamops.insight.pdf import season_report_pdf
from teamops.insight.queries.report import season_report
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_GET
@team_view(Permission.SEE)
def show_report(request: TeamRequest) -> HttpResponse:
    """A season in one page, for a team-mate who was not there."""
    form = _form(request)
    page: dict[str, object] = {"form": form}
    selection = form.selection() if not form.is_bound or form.is_valid() else None
    if selection is not None:

        def draw() -> str:
            report = season_report(request.team, selection, today_of(request.team))
            return render_to_string("insight/_report.html", {"report": report}, request)

        page["selection"] = selection
        name = sha256(selection.query().encode()).hexdigest()
        page["report"] = keep_for(request.team, f"report-{name}", draw)
    return render(request, "insight/report.html", page, status=422 if form.errors else 200)


@require_GET
@team_view(Permission.SEE)
def print_report(request: TeamRequest) -> HttpResponse:
    """The same on paper."""
    form = _form(request)
    selection = form.selection() if not form.is_bound or form.is_valid() else None
    if selection is None:
        raise Http404("Nothing to print.")
    report = season_report(request.team, selection, today_of(request.team))
    answer = HttpResponse(season_report_pdf(report, request.team), content_type="application/pdf")
    answer["Content-Disposition"] = 'inline; filename="season-report.pdf"'
    return answer


def _form(request: TeamRequest) -> LedgerForm:
    return LedgerForm(request.GET or None, choices=queries.ledger_choices(request.team))
