"""Presses on a rulebook: made ours, put away, taken out, deleted."""

from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST

from teamops.rules import actions
from teamops.rules.models import Rulebook
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_POST
@team_view(Permission.PLAN)
def make_ours(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Copy a shared rulebook into the team's own, and go on to change it."""
    shared = get_object_or_404(Rulebook.objects.for_team(request.team), pk=pk)
    own = shared
    if shared.is_shared:
        own = actions.make_ours(rulebook=shared, team=request.team, by=request.user)
        messages.success(request, f"{own} is yours now: change what your contests do differently.")
    return redirect("rules:show_rulebook", request.team.slug, own.pk)


@require_POST
@team_view(Permission.PLAN)
def put_away(request: TeamRequest, pk: UUID) -> HttpResponse:
    """No longer offer it for new boxes."""
    rulebook = _own(request, pk)
    actions.put_away(rulebook=rulebook, by=request.user)
    messages.success(request, f"{rulebook} is put away.")
    return redirect("rules:show_rulebook", request.team.slug, pk)


@require_POST
@team_view(Permission.PLAN)
def take_out(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Offer it again."""
    rulebook = _own(request, pk)
    actions.take_out(rulebook=rulebook, by=request.user)
    messages.success(request, f"{rulebook} is offered again.")
    return redirect("rules:show_rulebook", request.team.slug, pk)


@require_POST
@team_view(Permission.PLAN)
def delete_rulebook(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Delete it, unless something stands on it."""
    rulebook = _own(request, pk)
    name = str(rulebook)
    try:
        actions.delete_rulebook(rulebook=rulebook, by=request.user)
    except ValidationError as used:
        messages.error(request, used.messages[0])
        return redirect("rules:show_rulebook", request.team.slug, pk)
    messages.success(request, f"{name} is deleted.")
    return redirect("rules:show_rulebooks", request.team.slug)


def _own(request: TeamRequest, pk: UUID) -> Rulebook:
    """The team's own rulebook; a shared one is nobody's to change (404)."""
    return get_object_or_404(Rulebook.objects.filter(team=request.team), pk=pk)
