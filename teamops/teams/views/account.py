"""A person's own account."""

from typing import cast

from allauth.account.decorators import reauthentication_required
from allauth.account.views import logout
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from teamops.teams import actions, queries
from teamops.teams.forms import NameForm, TypedForm
from teamops.teams.models import User
from teamops.teams.views.people import FORGET
from teamops.web.forms import refuse
from teamops.web.pages import signed_in_view


@require_GET
@signed_in_view
def show_account(request: HttpRequest) -> HttpResponse:
    user = cast("User", request.user)
    page = {"form": NameForm(instance=user), "teams": queries.teams_of(user)}
    return render(request, "account/account.html", page)


@require_POST
@signed_in_view
def change_name(request: HttpRequest) -> HttpResponse:
    user = cast("User", request.user)
    form = NameForm(request.POST, instance=User.objects.get(pk=user.pk))
    if not form.is_valid():
        page = {"form": form, "teams": queries.teams_of(user)}
        return render(request, "account/account.html", page, status=422)
    actions.change_name(user=user, name=form.cleaned_data["name"])
    messages.success(request, "Name saved.")
    return redirect("teams:show_account")


@require_http_methods(["GET", "POST"])
@signed_in_view
@reauthentication_required
def close_account(request: HttpRequest) -> HttpResponse:
    user = cast("User", request.user)
    form = TypedForm(request.POST or None, label="Type your address")
    if request.method == "POST" and form.is_valid():
        try:
            actions.close_account(user=user, typed=form.cleaned_data["typed"])
        except ValidationError as refusal:
            refuse(form, refusal, field="typed")
        else:
            response = logout(request)
            response["Clear-Site-Data"] = FORGET
            return response
    page = {"form": form, "alone": queries.teams_alone(user)}
    return render(request, "account/close.html", page, status=422 if form.errors else 200)
