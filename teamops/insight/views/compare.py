from django.http import HttpResponse
from django.template.loader import render_to_string
from django.views.decorators.http import require_GET

from teamops.insight.forms import CompareForm, LedgerForm
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.compare import comparison
from teamops.insight.queries.ground import Ground
from teamops.insight.views.chosen import keep_account, show_chosen
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_GET
@team_view(Permission.SEE)
def show_comparison(request: TeamRequest) -> HttpResponse:
    """Usual losses of two groups or more beside each other."""

    def account(ground: Ground, form: LedgerForm, selection: Selection) -> str:
        by = form.dimension if isinstance(form, CompareForm) else ""

        def draw() -> str:
            found = comparison(request.team, ground.choices, selection, by)
            return render_to_string("insight/_compare.html", {"beside": found}, request)

        if not by:
            return ""
        return keep_account(request.team, ground, selection, f"compare-{by}", draw)

    page, part = "insight/compare.html", "insight/_compare_chosen.html"
    return show_chosen(request, page, part, CompareForm, account)
