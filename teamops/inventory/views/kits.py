from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from teamops.inventory import actions, queries
from teamops.inventory.forms import KitForm, KitLineForm
from teamops.inventory.models import Item, Kit, KitLine
from teamops.inventory.saving import saved
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission

GET_OR_POST = ["GET", "POST"]


@require_GET
@team_view(Permission.SEE)
def show_kits(request: TeamRequest) -> HttpResponse:
    """The team's kits, and how many items each takes."""
    page = {
        "kits": queries.kits_with_counts(request.team),
        "may_plan": request.membership.may(Permission.PLAN),
    }
    return render(request, "inventory/kits.html", page)


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def add_kit(request: TeamRequest) -> HttpResponse:
    """Start another kit, such as one for an ancillary category."""
    return _kit_page(request, Kit())


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def change_kit(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Rename a kit."""
    return _kit_page(request, get_object_or_404(Kit.objects.for_team(request.team), pk=pk))


def _kit_page(request: TeamRequest, kit: Kit) -> HttpResponse:
    known = None if kit._state.adding else kit
    form = KitForm(request.POST or None, instance=kit, team=request.team)
    if saved(form, lambda row: actions.save_kit(kit=row)):
        return redirect("inventory:show_kits", request.team.slug)
    page = {"form": form, "kit": known, "many": kit.lines.count() if known else 0}
    return render(request, "inventory/kit_form.html", page, status=422 if form.errors else 200)


@require_POST
@team_view(Permission.PLAN)
def delete_kit(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Take a kit away; the page said before that its items stay."""
    kit = get_object_or_404(Kit.objects.for_team(request.team), pk=pk)
    actions.delete_kit(kit=kit)
    messages.success(request, f"{kit.name} is deleted; its items stay.")
    return redirect("inventory:show_kits", request.team.slug)


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def add_kit_line(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Put an item in one more kit."""
    item = get_object_or_404(Item.objects.for_team(request.team), pk=pk)
    kits = Kit.objects.for_team(request.team).exclude(lines__item=item)
    return _line_page(request, KitLine(item=item), list(kits))


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def change_kit_line(request: TeamRequest, pk: int) -> HttpResponse:
    """Change how much a kit takes of an item."""
    rows = KitLine.objects.for_team(request.team).select_related("kit", "item")
    line = get_object_or_404(rows, pk=pk)
    return _line_page(request, line, [line.kit])


def _line_page(request: TeamRequest, line: KitLine, kits: list[Kit]) -> HttpResponse:
    form = KitLineForm(request.POST or None, instance=line, team=request.team, kits=kits)
    if "kit" in form.fields:
        kit: Any = form.fields["kit"]
        kit.required, kit.choices = True, [(row.pk, row.name) for row in kits]
    if kits and saved(form, lambda row: actions.save_kit_line(line=row)):
        return redirect("inventory:change_item", request.team.slug, line.item_id)
    page = {"form": form, "line": line, "kits": kits}
    return render(request, "inventory/kit_line_form.html", page, status=422 if form.errors else 200)


@require_POST
@team_view(Permission.PLAN)
def delete_kit_line(request: TeamRequest, pk: int) -> HttpResponse:
    """Take an item out of a kit."""
    line = get_object_or_404(KitLine.objects.for_team(request.team), pk=pk)
    line.delete()
    return redirect("inventory:change_item", request.team.slug, line.item_id)
