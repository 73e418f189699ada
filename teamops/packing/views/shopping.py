from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse, HttpResponseBadRequest
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from django_htmx.http import trigger_client_event

from teamops.inventory.queries import item_group_names
from teamops.inventory.saving import saved
from teamops.inventory.words import say_amount
from teamops.packing import actions, queries
from teamops.packing.forms import BuyForm, ShoppingForm
from teamops.packing.models import ShoppingLine
from teamops.packing.views.lists import find_list
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.web.pages import page_or_part, vary_on_htmx

GET_OR_POST = ["GET", "POST"]


@require_GET
@team_view(Permission.SEE)
def show_shopping(request: TeamRequest) -> HttpResponse:
    """What is still to buy, and what was bought last."""
    return _shopping(request)


def _shopping(request: TeamRequest) -> HttpResponse:
    page = {
        "shopping": queries.shopping_page(request.team),
        "may_log": request.membership.may(Permission.LOG),
        "may_plan": request.membership.may(Permission.PLAN),
    }
    template = page_or_part(request, "packing/shopping.html", "packing/_shopping.html")
    return vary_on_htmx(render(request, template, page))


@require_POST
@team_view(Permission.LOG)
def set_bought(request: TeamRequest) -> HttpResponse:
    """Tick something as bought, or put it back on the list."""
    form = BuyForm(request.POST)
    if not form.is_valid():
        return HttpResponseBadRequest("No such line.")
    rows = ShoppingLine.objects.for_team(request.team)
    rows = rows.select_related("packing_line__packing_list")
    shopping = get_object_or_404(rows, pk=form.cleaned_data["line"])
    actions.set_bought(shopping=shopping, on=form.cleaned_data["on"], by=request.user)
    if not request.htmx:
        return redirect("packing:show_shopping", request.team.slug)
    return trigger_client_event(_shopping(request), "packing-changed")


@require_http_methods(GET_OR_POST)
@team_view(Permission.LOG)
def add_shopping(request: TeamRequest) -> HttpResponse:
    """Put something on the shopping list by hand."""
    return _form_page(request, ShoppingLine())


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def change_shopping(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Change something to buy, such as to a whole package."""
    rows = ShoppingLine.objects.for_team(request.team)
    return _form_page(request, get_object_or_404(rows, pk=pk))


def _form_page(request: TeamRequest, shopping: ShoppingLine) -> HttpResponse:
    known = None if shopping._state.adding else shopping
    form = ShoppingForm(request.POST or None, instance=shopping, team=request.team)
    if saved(form, lambda row: actions.save_shopping(shopping=row)):
        return redirect("packing:show_shopping", request.team.slug)
    page = {"form": form, "shopping": known, "groups": item_group_names(request.team)}
    status = 422 if form.errors else 200
    return render(request, "packing/shopping_form.html", page, status=status)


@require_POST
@team_view(Permission.PLAN)
def delete_shopping(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Take something off the shopping list."""
    shopping = get_object_or_404(ShoppingLine.objects.for_team(request.team), pk=pk)
    actions.delete_shopping(shopping=shopping)
    messages.success(request, f"{shopping.name} is off the shopping list.")
    return redirect("packing:show_shopping", request.team.slug)


@require_http_methods(GET_OR_POST)
@team_view(Permission.LOG)
def buy_used_up(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Pick from what a trip uses up, and put it on the shopping list in full."""
    packing_list = find_list(request, pk)
    lines = queries.used_up(packing_list)
    if request.method == "POST":
        wanted = set(request.POST.getlist("line"))
        picked = [line for line in lines if str(line.pk) in wanted]
        for line in picked:
            line.packing_list = packing_list
        count = actions.buy_all_of(lines=picked, by=request.user)
        messages.success(request, f"{count} put on the shopping list.")
        return redirect("packing:show_shopping", request.team.slug)
    rows = [(line, say_amount(line.amount, line.unit)) for line in lines]
    return render(request, "packing/used_up.html", {"packing_list": packing_list, "rows": rows})
