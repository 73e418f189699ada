from django.http import Http404, HttpResponse
from django.template.loader import render_to_string
from django.views.decorators.http import require_GET

from teamops.contests.queries import today_of
from teamops.insight import queries
from teamops.insight.forms import LedgerForm
from teamops.insight.pdf import season_report_pdf
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.ground import Ground
from teamops.insight.queries.report import season_report
from teamops.insight.views.chosen import show_chosen
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_GET
@team_view(Permission.SEE)
def show_report(request: TeamRequest) -> HttpResponse:
    """A season in one page, for a team-mate who was not there."""

    def account(ground: Ground, form: LedgerForm, selection: Selection) -> str:
        report = season_report(request.team, selection, today_of(request.team))
        return render_to_string("insight/_report.html", {"report": report}, request)

    page, part = "insight/report.html", "insight/_report_chosen.html"
    return show_chosen(request, page, part, LedgerForm, account)


@require_GET
@team_view(Permission.SEE)
def print_report(request: TeamRequest) -> HttpResponse:
    """The same on paper."""
    form = LedgerForm(request.GET or None, choices=queries.ledger_choices(request.team))
    selection = form.selection() if not form.is_bound or form.is_valid() else None
    if selection is None:
        raise Http404("Nothing to print.")
    report = season_report(request.team, selection, today_of(request.team))
    answer = HttpResponse(season_report_pdf(report, request.team), content_type="application/pdf")
    answer["Content-Disposition"] = 'inline; filename="season-report.pdf"'
    return answer
