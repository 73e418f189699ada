from hashlib import sha256
from typing import Any
from uuid import UUID

from csp.constants import NONE, UNSAFE_INLINE
from csp.decorators import csp
from django.core.cache import cache
from django.http import Http404, HttpResponse, HttpResponseNotModified
from django.shortcuts import get_object_or_404, render
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.http import parse_etags, quote_etag
from django.views.decorators.http import require_GET

from teamops.contests.models import Entry
from teamops.contests.queries import today_of
from teamops.insight import queries
from teamops.insight.forms import LedgerForm, ScoresForm
from teamops.insight.keeping import A_WEEK, keep
from teamops.insight.pdf import report_pdf
from teamops.insight.queries import Ground, Selection, Trend
from teamops.judging.queries import corrections_of
from teamops.rules.models import Criterion
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.web.pages import page_or_part, vary_on_htmx

KEPT = "private, max-age=31536000, immutable"  # the address names the content
ASK_AGAIN = "private, no-cache"


@require_GET
@team_view(Permission.SEE)
def show_season(request: TeamRequest) -> HttpResponse:
    """The season's home; to htmx, which ticked something off, the to-do list alone."""
    today = today_of(request.team)
    page: dict[str, Any] = {"may_log": request.membership.may(Permission.LOG)}
    template = page_or_part(request, "insight/season.html", "insight/_todo.html")
    if template == "insight/_todo.html":
        page["todo"] = queries.todo_list(request.team, today)
    else:
        season = queries.season_page(request.team, today, timezone.now())
        page |= {"season": season, "todo": season.todo}
        page["may_plan"] = request.membership.may(Permission.PLAN)
    return vary_on_htmx(render(request, template, page))


@require_GET
@team_view(Permission.SEE)
def show_scores(request: TeamRequest) -> HttpResponse:
    """What every entry got, newest first."""
    categories, seasons = queries.score_filters(request.team)
    form = ScoresForm(request.GET, categories=list(categories), seasons=seasons)
    page: dict[str, Any] = {"form": form, "may_plan": request.membership.may(Permission.PLAN)}
    if form.is_valid():
        asked = form.cleaned_data
        page["scores"] = queries.scores_page(
            request.team,
            today_of(request.team),
            category=asked["category"],
            season=asked["season"],
            page=asked["page"] or 1,
        )
    return render(request, "insight/scores.html", page, status=422 if form.errors else 200)


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


@require_GET
@team_view(Permission.SEE)
def show_ledger(request: TeamRequest) -> HttpResponse:
    """What each criterion costs over the chosen contests of one category."""
    ground = queries.ledger_ground(request.team)
    form = LedgerForm(request.GET or None, choices=ground.choices)
    page: dict[str, Any] = {"form": form}
    if not form.is_bound or form.is_valid():
        selection = form.selection()
        page["selection"] = selection
        page["account"] = _account(request, ground, selection) if selection else ""
    return render(request, "insight/ledger.html", page, status=422 if form.errors else 200)


def _account(request: TeamRequest, ground: Ground, selection: Selection) -> str:
    """The ledger with what stands below it; kept where it is a usual choice, of which are few."""

    def draw() -> str:
        board = queries.ledger_board(request.team, selection)
        page = {"board": board, "ledger": board.ledger, "selection": selection}
        return render_to_string("insight/_ledger.html", page, request)

    if not selection.is_usual:
        return draw()
    name = f"ledger-{request.team.pk}-{sha256(selection.query().encode()).hexdigest()}"
    return keep(name, ground.stamp, draw, lambda: queries.ledger_ground(request.team).stamp)


# A drawing styles its shapes itself, and holds nothing that could run.
@csp({"default-src": [NONE], "style-src": [UNSAFE_INLINE], "frame-ancestors": [NONE]})
@require_GET
@team_view(Permission.SEE)
def draw_trend(request: TeamRequest, pk: int, key: str) -> HttpResponse:
    """One criterion's trend as SVG.

    `key` names the content that the page saw. Where that is still the content, the answer may be
    kept for good; where a sheet was corrected since, the picture of today comes, to be asked again.
    """
    criterion = get_object_or_404(Criterion.objects.for_team(request.team), pk=pk)
    theme = "dark" if request.GET.get("theme") == "dark" else "light"
    form = LedgerForm(request.GET, choices=queries.ledger_choices(request.team))
    selection = form.selection() if form.is_valid() else None
    if selection is None or selection.rulebook_id != criterion.rulebook_id:
        raise Http404("No such picture.")
    drawn = queries.criterion_trend(request.team, criterion, selection)
    etag = quote_etag(f"{drawn.key}-{theme}")
    answer: HttpResponse
    if etag in parse_etags(request.headers.get("If-None-Match", "")):
        answer = HttpResponseNotModified()
    else:
        answer = HttpResponse(_svg(drawn, theme), content_type="image/svg+xml")
    answer["ETag"] = etag
    answer["Cache-Control"] = KEPT if drawn.key == key else ASK_AGAIN
    return answer


def _svg(drawn: Trend, theme: str) -> str:
    """The picture, kept by its content so that it is drawn once for everybody."""

    def draw() -> str:
        from teamops.insight.pictures import trend_picture  # matplotlib takes a second to load

        return trend_picture(drawn, theme)

    return str(cache.get_or_set(f"trend-{drawn.key}-{theme}", draw, A_WEEK))
