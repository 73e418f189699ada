"""One rulebook to a file and back, and the page that says what such a file holds."""

from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.text import slugify
from django.views.decorators.http import require_GET, require_http_methods

from teamops.rules import actions, queries
from teamops.rules.files import COLUMNS, FIELDS, MARKER, VERSION, file_of
from teamops.rules.forms import FileForm
from teamops.rules.models import Rulebook
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_GET
@team_view(Permission.SEE)
def export_rulebook(request: TeamRequest, pk: UUID) -> HttpResponse:
    """The rulebook as a file to keep or to give on."""
    rulebook = get_object_or_404(Rulebook.objects.for_team(request.team), pk=pk)
    response = HttpResponse(file_of(rulebook), content_type="application/json; charset=utf-8")
    name = slugify(str(rulebook)) or "rulebook"
    response["Content-Disposition"] = f'attachment; filename="{name}.rulebook.json"'
    return response


@require_http_methods(["GET", "POST"])
@team_view(Permission.PLAN)
def import_rulebook(request: TeamRequest) -> HttpResponse:
    """Take a rulebook from a file: shown first, kept on a second press."""
    if request.method != "POST":
        return render(request, "rules/import.html", {"form": FileForm()})
    form = FileForm(request.POST, request.FILES)
    if not form.is_valid():
        return render(request, "rules/import.html", {"form": form}, status=422)
    book = form.book
    if request.POST.get("press") == "keep":
        try:
            kept = actions.add_rulebook(
                rulebook=book.rulebook, criteria=book.criteria, team=request.team, by=request.user
            )
        except ValidationError as refusal:
            form.add_error(None, refusal.messages)
            return render(request, "rules/import.html", {"form": form}, status=422)
        messages.success(request, f"{kept} is kept.")
        return redirect("rules:show_rulebook", request.team.slug, kept.pk)
    page = queries.book_page(book.rulebook, book.criteria)
    return render(request, "rules/import.html", {"form": form, "page": page, "text": form.given})


@require_GET
@team_view(Permission.SEE)
def show_format(request: TeamRequest) -> HttpResponse:
    """What a rulebook's file holds, for who writes one by hand or by program."""
    page = {
        "fields": queries.format_rows(FIELDS),
        "columns": queries.criterion_rows(COLUMNS),
        "marker": MARKER,
        "version": VERSION,
    }
    return render(request, "rules/format.html", page)
