"""Pages of one choice of contests: the form that makes it, and what is worked out of it."""

from collections.abc import Callable
from hashlib import sha256
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string

from teamops.insight.forms import LedgerForm
from teamops.insight.keeping import keep, keep_for
from teamops.insight.queries import Ground, ledger_ground
from teamops.insight.queries.choices import Selection
from teamops.teams.access import TeamRequest
from teamops.teams.models import Team

FEW = {"category", "rulebook", "season", "by"}  # choices of which there are few enough to keep


class RefusedError(Exception):
    """What was asked for is none of the choices; the form says which."""

    def __init__(self, form: LedgerForm) -> None:
        super().__init__()
        self.form = form


def show_chosen(
    request: TeamRequest,
    page: str,
    part: str,
    form_of: type[LedgerForm],
    account: Callable[[Ground, LedgerForm, Selection], str],
) -> HttpResponse:
    """
    A page's template around that of its part, which is kept where the choices are few.

    The part has the form, the `selection` it made and its `account`; nothing of the visitor may be
    in it. A choice that is refused stands on the page with 422.
    """

    def draw() -> str:
        ground = ledger_ground(request.team)
        form = form_of(request.GET or None, choices=ground.choices)
        if form.is_bound and not form.is_valid():
            raise RefusedError(form)
        selection = form.selection()
        has: dict[str, Any] = {"form": form, "selection": selection}
        has["account"] = account(ground, form, selection) if selection else ""
        return render_to_string(part, has, request)

    asked = sha256(request.GET.urlencode().encode()).hexdigest()
    try:
        few = FEW.issuperset(request.GET)
        drawn = keep_for(request.team, f"{page}-{asked}", draw) if few else draw()
    except RefusedError as refused:
        return render(request, page, {"form": refused.form}, status=422)
    return render(request, page, {"part": drawn})


def keep_account(
    team: Team, ground: Ground, selection: Selection, name: str, draw: Callable[[], str]
) -> str:
    """What is worked out of a usual selection, kept under all that the team's ledgers stand on.

    So that a press which changed nothing here costs no reckoning. What the team wrote while it was
    drawn gave it another stamp: then it is shown and not kept.
    """
    if not selection.is_usual:
        return draw()
    chosen = sha256(selection.query().encode()).hexdigest()

    def still() -> str:
        alike = Team.objects.filter(pk=team.pk, stamp=team.stamp).exists()
        return ground.stamp if alike else ledger_ground(team).stamp

    return keep(f"{name}-{team.pk}-{chosen}", ground.stamp, draw, still)
