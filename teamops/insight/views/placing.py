from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from hashlib import sha256
from typing import Any
from urllib.parse import urlencode
from uuid import UUID

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.template.loader import render_to_string
from django.views.decorators.http import require_GET

from teamops.calc.words import plain
from teamops.contests.models import Entry
from teamops.contests.queries import today_of
from teamops.insight.forms import LedgerForm
from teamops.insight.keeping import keep_for
from teamops.insight.placing_forms import PREFIX, ComingForm, StepsForm
from teamops.insight.queries import Selection, ledger_choices
from teamops.insight.queries.placing import (
    Chosen,
    better_marks,
    box_curve,
    hope,
    offers,
    rulebook_of,
)
from teamops.insight.views.drawn import drawing, drawn_answer
from teamops.rules.models import Rulebook
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission

FEW = {"category", "rulebook", "season"}  # choices of which there are few enough to keep whole


class RefusedError(Exception):
    """What was asked for cannot be: the page's forms say which."""

    def __init__(self, page: dict[str, Any]) -> None:
        super().__init__()
        self.page = page


@require_GET
@team_view(Permission.SEE)
def show_better(request: TeamRequest) -> HttpResponse:
    """What a better mark would have been worth and would have placed, and what may come next."""
    today = today_of(request.team)

    def draw() -> str:
        page, wrong = _page(request, today)
        if wrong:
            raise RefusedError(page)
        return render_to_string("insight/_better_page.html", page, request)

    asked = sha256(f"{today}{request.GET.urlencode()}".encode()).hexdigest()
    try:
        few = FEW.issuperset(request.GET)
        part = keep_for(request.team, f"better-{asked}", draw) if few else draw()
    except RefusedError as refused:
        return render(request, "insight/better.html", refused.page, status=422)
    return render(request, "insight/better.html", {"part": part})


def _page(request: TeamRequest, today: date) -> tuple[dict[str, Any], bool]:
    """Forms and parts of the page, and whether anything that was asked for cannot be."""
    form = LedgerForm(request.GET or None, choices=ledger_choices(request.team))
    page: dict[str, Any] = {"form": form}
    if form.is_bound and not form.is_valid():
        return page, True
    selection = form.selection()
    if selection is None:
        return page, False
    rulebook = rulebook_of(request.team, selection)
    steps = StepsForm(request.GET, criteria=list(rulebook.criteria.all()))
    coming = ComingForm(request.GET or None, found=offers(request.team, selection, today))
    page |= {"selection": selection, "steps": steps, "coming": coming}
    if not steps.is_bound or steps.is_valid():
        page["account"] = _account(request, selection, rulebook, steps)
    if not coming.is_bound or coming.is_valid():
        asked = coming.chosen()
        page["hope"] = _hope(request, selection, rulebook, asked, today) if asked else ""
    return page, bool(steps.errors or coming.errors)


def _account(
    request: TeamRequest, selection: Selection, rulebook: Rulebook, steps: StepsForm
) -> str:
    """The contests played again, with the steps that were played; kept for the usual choices."""
    every, moves = "all" in request.GET, steps.moves()
    curve = _uuid(request.GET.get("curve", ""))

    def draw() -> str:
        better = better_marks(request.team, selection, rulebook, moves, every=every, curve=curve)
        steps.show(better.moves)
        typed = steps_query(better.moves)
        page = {
            "better": better,
            "steps": steps,
            "selection": selection,
            "here": selection.query(**typed),
            "typed": urlencode(typed),
        }
        return render_to_string("insight/_better.html", page, request)

    said = "" if moves is None else urlencode(steps_query(moves))
    return _kept(request, selection, ["better", said, every, curve], draw)


def _hope(
    request: TeamRequest, selection: Selection, rulebook: Rulebook, asked: Chosen, today: date
) -> str:
    """The outlook on a coming contest; kept for the usual choices."""

    def draw() -> str:
        told = hope(request.team, selection, rulebook, asked)
        return render_to_string("insight/_hope.html", {"hope": told}, request)

    keys = [row and row.pk for row in (asked.coming, asked.posting, asked.change)]
    return _kept(request, selection, ["hope", *keys, asked.prizes, today], draw)


def _kept(
    request: TeamRequest, selection: Selection, asked: list[object], draw: Callable[[], str]
) -> str:
    """A part of the page, kept till something of the team changes; only for usual choices."""
    if not selection.is_usual:
        return draw()
    content = repr([selection.query(), *map(str, asked)])
    return keep_for(request.team, f"placing-{sha256(content.encode()).hexdigest()}", draw)


def steps_query(moves: Mapping[str, Decimal]) -> dict[str, str]:
    """Steps as the address carries them."""
    return {f"{PREFIX}{key}": plain(step) for key, step in moves.items()}


def _uuid(text: str) -> UUID | None:
    try:
        return UUID(text)
    except ValueError:
        return None


@drawing
@require_GET
@team_view(Permission.SEE)
def draw_curve(request: TeamRequest, pk: UUID, key: str) -> HttpResponse:
    """The placing curve of one entry as SVG; `key` names the content that the page saw."""
    entries = Entry.objects.for_team(request.team).select_related("rulebook")
    entry = get_object_or_404(entries.filter(result__isnull=False), pk=pk)
    steps = StepsForm(request.GET, criteria=list(entry.rulebook.criteria.all()))
    moves = steps.moves() if steps.is_bound and steps.is_valid() else None
    curve = box_curve(request.team, entry.pk, moves or {})
    if curve is None:
        raise Http404("No such picture.")

    def draw(theme: str) -> str:
        from teamops.insight.pictures.placing import (  # matplotlib takes a second to load
            curve_picture,
        )

        return curve_picture(curve, theme)

    return drawn_answer(request, f"curve-{curve.key}", draw, seen=key == curve.key)
