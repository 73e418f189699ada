"""A team's own pages: who is in it, who is asked in, how it is set up."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from teamops.teams import actions, queries
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.forms import InviteForm, RoleForm, TeamSettingsForm, TypedForm
from teamops.teams.models import Invitation, Membership, Team
from teamops.teams.roles import Permission, Role
from teamops.teams.zones import zone_names
from teamops.web.forms import refuse

CURRENCIES = ("USD", "CAD", "EUR", "GBP", "AUD", "NZD", "MXN", "ZAR", "CHF", "SEK", "NOK", "DKK")
NEW_LINK = "invitation link"


@require_GET
@team_view(Permission.SEE)
@never_cache
def show_team(request: TeamRequest) -> HttpResponse:
    form = InviteForm(giver=Role(request.membership.role))
    return _team_page(request, form)


def _team_page(request: TeamRequest, form: InviteForm, status: int = 200) -> HttpResponse:
    page = {
        "people": queries.team_page(request.team, request.user),
        "manages": request.membership.may(Permission.MANAGE),
        "roles": Role.choices,
        "role_words": queries.role_words(),
        "form": form,
        "new_link": request.session.pop(NEW_LINK, ""),  # shown once, then only its hash is left
    }
    return render(request, "teams/team.html", page, status=status)


@require_http_methods(["GET", "POST"])
@team_view(Permission.MANAGE)
def change_team(request: TeamRequest) -> HttpResponse:
    # the form writes what is typed on its own copy: the bar keeps the name that is stored
    form = TeamSettingsForm(request.POST or None, instance=Team.objects.get(pk=request.team.pk))
    if request.method == "POST" and form.is_valid():
        actions.change_team(team=request.team, settings=form.cleaned_data, by=request.user)
        messages.success(request, "Settings saved.")
        return redirect("team:show_team", request.team.slug)
    page = {"form": form, "zones": zone_names(), "currencies": CURRENCIES}
    return render(request, "teams/team_form.html", page, status=422 if form.errors else 200)


@require_POST
@team_view(Permission.MANAGE)
def invite(request: TeamRequest) -> HttpResponse:
    form = InviteForm(request.POST, giver=Role(request.membership.role))
    if not form.is_valid():
        return _team_page(request, form, status=422)
    asked = form.cleaned_data
    request.session[NEW_LINK] = actions.invite(
        team=request.team, role=Role(asked["role"]), note=asked["note"], by=request.user
    )
    return redirect(reverse("team:show_team", args=[request.team.slug]) + "#new-link")


@require_POST
@team_view(Permission.MANAGE)
def revoke_invitation(request: TeamRequest, pk: int) -> HttpResponse:
    invitation = get_object_or_404(Invitation.objects.for_team(request.team), pk=pk)
    actions.revoke_invitation(invitation=invitation, by=request.user)
    messages.success(request, "Invitation withdrawn: its link no longer works.")
    return redirect("team:show_team", request.team.slug)


@require_POST
@team_view(Permission.MANAGE)
def change_role(request: TeamRequest, pk: int) -> HttpResponse:
    place = get_object_or_404(Membership.objects.for_team(request.team), pk=pk)
    form = RoleForm(request.POST)
    if not form.is_valid():
        messages.error(request, "Nothing changed: there is no such role.")
        return redirect("team:show_team", request.team.slug)
    try:
        actions.change_role(membership=place, role=Role(form.cleaned_data["role"]), by=request.user)
    except ValidationError as refusal:
        messages.error(request, f"Nothing changed: {refusal.message}")
    else:
        messages.success(request, "Role changed.")
    return redirect("team:show_team", request.team.slug)


@require_POST
@team_view(Permission.MANAGE)
def remove_member(request: TeamRequest, pk: int) -> HttpResponse:
    place = get_object_or_404(Membership.objects.for_team(request.team), pk=pk)
    try:
        actions.remove_member(membership=place, by=request.user)
    except ValidationError as refusal:
        messages.error(request, f"Nothing changed: {refusal.message}")
        return redirect("team:show_team", request.team.slug)
    messages.success(request, f"{place.user} is no longer in the team.")
    if place.user_id == request.user.pk:
        return redirect("teams:choose_team")
    return redirect("team:show_team", request.team.slug)


@require_POST
@team_view(Permission.SEE)
def leave_team(request: TeamRequest) -> HttpResponse:
    try:
        actions.leave_team(membership=request.membership)
    except ValidationError as refusal:
        messages.error(request, f"Nothing changed: {refusal.message}")
        return redirect("team:show_team", request.team.slug)
    messages.success(request, f"You left {request.team}.")
    return redirect("teams:choose_team")


@require_http_methods(["GET", "POST"])
@team_view(Permission.MANAGE)
def delete_team(request: TeamRequest) -> HttpResponse:
    form = TypedForm(request.POST or None, label="Type the team’s name")
    if request.method == "POST" and form.is_valid():
        try:
            actions.delete_team(
                team=request.team, typed=form.cleaned_data["typed"], by=request.user
            )
        except ValidationError as refusal:
            refuse(form, refusal, field="typed")
        else:
            messages.success(request, "The team is deleted.")
            return redirect("teams:choose_team")
    status = 422 if form.errors else 200
    return render(request, "teams/delete_team.html", {"form": form}, status=status)
