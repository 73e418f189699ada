from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from teamops.inventory import actions, queries
from teamops.inventory.forms import ContainerForm
from teamops.inventory.models import Container
from teamops.inventory.saving import saved
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission

GET_OR_POST = ["GET", "POST"]


@require_GET
@team_view(Permission.SEE)
def show_containers(request: TeamRequest) -> HttpResponse:
    """Containers in the order of the packing list."""
    page = {
        "containers": queries.containers_with_counts(request.team),
        "may_plan": request.membership.may(Permission.PLAN),
    }
    return render(request, "inventory/containers.html", page)


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def add_container(request: TeamRequest) -> HttpResponse:
    """Add a tote, a cold box or a place in the vehicle."""
    return _container_page(request, Container())


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def change_container(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Change a container."""
    rows = Container.objects.for_team(request.team)
    return _container_page(request, get_object_or_404(rows, pk=pk))


def _container_page(request: TeamRequest, container: Container) -> HttpResponse:
    known = None if container._state.adding else container
    form = ContainerForm(request.POST or None, instance=container, team=request.team)
    if saved(form, lambda row: actions.save_container(container=row)):
        return redirect("inventory:show_containers", request.team.slug)
    page = {"form": form, "container": known, "many": container.items.count() if known else 0}
    status = 422 if form.errors else 200
    return render(request, "inventory/container_form.html", page, status=status)


@require_POST
@team_view(Permission.PLAN)
def delete_container(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Take a container away; the page said before that its items stay."""
    container = get_object_or_404(Container.objects.for_team(request.team), pk=pk)
    actions.delete_container(container=container)
    messages.success(request, f"{container.name} is deleted; its items are in none now.")
    return redirect("inventory:show_containers", request.team.slug)
