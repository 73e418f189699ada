"""A person's pages: their teams, an invitation, a sign-in link, signing out."""

from typing import cast

from allauth.account.app_settings import EmailVerificationMethod
from allauth.account.utils import perform_login
from allauth.account.views import logout
from django.conf import settings
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils.http import urlencode
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods

from teamops.teams import actions, queries
from teamops.teams.forms import TeamNameForm
from teamops.teams.models import Invitation, Membership, SignInLink, User
from teamops.web.pages import open_view, signed_in_view

FORGET = '"storage"'  # drafts and what the service worker keeps


@require_GET
@signed_in_view
@never_cache
def choose_team(request: HttpRequest) -> HttpResponse:
    """One team: go there; several, or `?list=1`: choose; none: make one."""
    teams = queries.teams_of(cast("User", request.user))
    if not teams:
        return redirect("teams:add_team")
    if len(teams) == 1 and "list" not in request.GET:
        return redirect("insight:show_season", teams[0].slug)
    return render(request, "teams/choose_team.html", {"teams": teams})


@require_http_methods(["GET", "POST"])
@signed_in_view
def add_team(request: HttpRequest) -> HttpResponse:
    form = TeamNameForm(request.POST or None)
    user = cast("User", request.user)
    if request.method == "POST" and form.is_valid():
        team = actions.create_team(name=form.cleaned_data["name"], by=user)
        return redirect("insight:show_season", team.slug)
    page = {"form": form, "first": not queries.teams_of(user)}
    return render(request, "teams/add_team.html", page, status=422 if form.errors else 200)


@require_http_methods(["GET", "POST"])
@open_view
@never_cache
def join(request: HttpRequest, token: str) -> HttpResponse:
    """Open an invitation: a page with one button, since a preview of the link must not use it."""
    if request.method == "POST" and request.user.is_authenticated:
        try:
            team = actions.accept_invitation(token=token, by=request.user)
        except ValidationError:
            return render(request, "teams/link_spent.html", {"invitation": True}, status=410)
        messages.success(request, f"You are in {team}.")
        return redirect("insight:show_season", team.slug)
    if request.method == "POST":
        query = urlencode({"next": request.path})
        return redirect(f"{resolve_url(settings.LOGIN_URL)}?{query}")
    return _show_invitation(request, token)


def _show_invitation(request: HttpRequest, token: str) -> HttpResponse:
    invitation = Invitation.find(token)
    if invitation is None:
        return render(request, "teams/link_spent.html", {"invitation": True}, status=410)
    if request.user.is_authenticated:
        here = Membership.objects.for_team(invitation.team).filter(user=request.user)
        if here.exists():
            messages.info(request, f"You are in {invitation.team} already.")
            return redirect("insight:show_season", invitation.team.slug)
    return render(request, "teams/join.html", {"invitation": invitation})


@require_http_methods(["GET", "POST"])
@open_view
@never_cache
def use_link(request: HttpRequest, token: str) -> HttpResponse:
    """Sign in by a once-only link: a page with one button, then the ways of any other sign-in."""
    if request.method == "GET":
        link = SignInLink.find(token)
        if link is None:
            return render(request, "teams/link_spent.html", status=410)
        return render(request, "teams/use_link.html", {"person": link.user})
    try:
        user = actions.take_sign_in_link(token=token)
    except ValidationError:
        return render(request, "teams/link_spent.html", status=410)
    return perform_login(request, user, email_verification=EmailVerificationMethod.NONE)


@require_http_methods(["GET", "POST"])
@open_view
def sign_out(request: HttpRequest) -> HttpResponse:
    """Sign out by allauth's way, and tell the browser to forget what it kept."""
    response = logout(request)
    if request.method == "POST":
        response["Clear-Site-Data"] = FORGET
    return response
