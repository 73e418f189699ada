from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from teamops.inventory import actions, queries
from teamops.inventory.conflicts import differences
from teamops.inventory.forms import ItemForm, KitLineForm
from teamops.inventory.models import Item, Kit, KitLine
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.teams.versions import Conflict
from teamops.web.forms import refuse

GET_OR_POST = ["GET", "POST"]


@require_GET
@team_view(Permission.SEE)
def show_items(request: TeamRequest) -> HttpResponse:
    """All that the team owns and uses up, group by group."""
    groups = queries.item_groups(request.team)
    page = {
        "groups": groups,
        "count": sum(len(group.rows) for group in groups),
        "may_plan": request.membership.may(Permission.PLAN),
    }
    return render(request, "inventory/items.html", page)


@require_POST
@team_view(Permission.PLAN)
def add_starters(request: TeamRequest) -> HttpResponse:
    """Put the starter items on the team's list; those it has stay as they are."""
    added = actions.add_starters(team=request.team, by=request.user)
    words = f"{added} items added: change what you do another way." if added else "You have all."
    messages.success(request, words)
    return redirect("inventory:show_items", request.team.slug)


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def add_item(request: TeamRequest) -> HttpResponse:
    """Add an item, with how much to bring of it."""
    return _item_page(request, Item())


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def change_item(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Change an item; a conflict shows theirs beside ours and keeps what was typed."""
    return _item_page(request, get_object_or_404(Item.objects.for_team(request.team), pk=pk))


def _item_page(request: TeamRequest, item: Item) -> HttpResponse:
    known = None if item._state.adding else item
    stored, kits = item.version, list(Kit.objects.for_team(request.team))
    lines = queries.kit_lines_of(item) if known else []
    line = lines[0] if lines else KitLine()
    sent = request.POST or None
    form = ItemForm(sent, instance=item, team=request.team)
    line_form = KitLineForm(sent, instance=line, team=request.team, kits=kits)
    page: dict[str, Any] = {
        "form": form, "line_form": line_form, "item": known, "seen": stored,
        "more_lines": lines[1:], "more_kits": bool(lines) and len(kits) > len(lines),
        "groups": queries.item_group_names(request.team),
    }  # fmt: skip
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid() & line_form.is_valid():
            try:
                _save(request, form, line_form, stored)
            except Conflict as conflict:
                theirs = conflict.current
                page |= {"current": differences(form, theirs), "by": theirs.changed_by}
                page["seen"], status = theirs.version, 409
            except ValidationError as error:
                refuse(form, error)
            else:
                messages.success(request, f"{item} is saved.")
                return redirect("inventory:show_items", request.team.slug)
    return render(request, "inventory/item_form.html", page, status=status)


def _save(request: TeamRequest, form: ItemForm, line_form: KitLineForm, stored: int) -> None:
    line = line_form.line()
    actions.save_item(
        item=form.save(commit=False),
        line=line,
        left=line_form.instance if line is None and line_form.instance.pk else None,
        seen=form.cleaned_data["seen"] or stored,
        by=request.user,
    )


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def delete_item(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Ask once, saying what stays behind; then take the item away."""
    item = get_object_or_404(Item.objects.for_team(request.team), pk=pk)
    if request.method == "POST":
        actions.delete_item(item=item)
        messages.success(request, f"{item.name} is deleted.")
        return redirect("inventory:show_items", request.team.slug)
    page = {"item": item, "lists": queries.lists_with(item), "kits": item.kit_lines.count()}
    return render(request, "inventory/item_delete.html", page)
