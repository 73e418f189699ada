"""An import under way, done, or undone."""

from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods
from django_htmx.http import HttpResponseClientRedirect

from teamops.judging.actions.exchange import requeue_import
from teamops.judging.imports import undo
from teamops.judging.queries.exchange import progress_of
from teamops.judging.tasks import run_import
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.models import ImportBatch
from teamops.teams.roles import Permission
from teamops.web.pages import page_or_part, vary_on_htmx

State = ImportBatch.State
ON_THE_WAY = (State.QUEUED, State.RUNNING)


@require_http_methods(["GET", "POST"])
@team_view(Permission.PLAN)
def import_progress(request: TeamRequest, pk: UUID) -> HttpResponse:
    """
    How far an import is, asked again every second; a press takes it in here and now.

    That press is for one that no worker takes up, or whose worker went away in the middle.
    """
    rows = ImportBatch.objects.for_team(request.team).defer("cells", "columns", "made")
    batch = get_object_or_404(rows, pk=pk)
    if batch.state not in ON_THE_WAY:
        url = reverse("judging:show_import", args=[request.team.slug, pk])
        return HttpResponseClientRedirect(url) if request.htmx else redirect(url)
    progress = progress_of(batch)
    if request.method == "POST":
        if progress.waits or (progress.silent and requeue_import(batch=batch)):
            run_import(batch.pk, request.user.pk)
        return redirect("judging:import_progress", request.team.slug, pk)
    template = page_or_part(
        request, "judging/exchange/progress.html", "judging/exchange/_progress.html"
    )
    return vary_on_htmx(render(request, template, {"batch": batch, "progress": progress}))


@require_http_methods(["GET", "POST"])
@team_view(Permission.PLAN)
def undo_import(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Ask, then take away what an import made; it says what was changed since and so stays."""
    rows = ImportBatch.objects.for_team(request.team).defer("cells", "columns")
    batch = get_object_or_404(rows, pk=pk)
    if batch.state != State.DONE:
        return redirect("judging:show_import", request.team.slug, pk)
    refused: list[str] = []
    if request.method == "POST":
        try:
            undo(batch=batch, by=request.user)
        except ValidationError as refusal:
            refused = refusal.messages
        else:
            messages.success(request, "It is undone: everything is as it was before.")
            return redirect("judging:show_import", request.team.slug, pk)
    page = {"batch": batch, "words": batch.said.get("words", []), "refused": refused}
    status = 409 if refused else 200
    return render(request, "judging/exchange/undo.html", page, status=status)


def done_page(request: TeamRequest, batch: ImportBatch) -> HttpResponse:
    """What an import came to; one that is still under way has its own page."""
    if batch.state in ON_THE_WAY:
        return redirect("judging:import_progress", request.team.slug, batch.pk)
    page = {"batch": batch, "words": batch.said.get("words", [])}
    return render(request, "judging/exchange/done.html", page)
