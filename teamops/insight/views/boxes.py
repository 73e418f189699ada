"""Photos that teach: boxes and cuts beside what judges gave."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from teamops.contests.queries import today_of
from teamops.insight.boxes_forms import BoxesForm
from teamops.insight.queries.boxes import box_filters, boxes_page
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_GET
@team_view(Permission.SEE)
def show_boxes(request: TeamRequest) -> HttpResponse:
    """Photos in a row by doneness mark or by date; two ticked boxes stand side by side."""
    categories, cooks = box_filters(request.team)
    form = BoxesForm(request.GET, categories=categories, cooks=cooks)
    if not form.is_valid():
        return render(request, "insight/boxes.html", {"form": form}, status=422)
    asked = form.asked
    board = boxes_page(request.membership, today_of(request.team), asked)
    page = {
        "form": form,
        "board": board,
        "may_log": request.membership.may(Permission.LOG),
        "few_ticked": bool(asked.compare) and not board.pair,
        "many_ticked": len(set(asked.compare)) > 2,
    }
    return render(request, "insight/boxes.html", page)
