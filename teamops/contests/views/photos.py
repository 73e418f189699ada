"""Photos of a box, and how it was cooked."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.core.files.storage import default_storage
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from teamops.contests.actions import photos as actions
from teamops.contests.forms.photos import NoteCookForm, PhotosForm
from teamops.contests.models import Entry, EntryPhoto
from teamops.contests.queries.cooked import cooked_of
from teamops.contests.queries.photos import may_see, photo_row, photos_of
from teamops.contests.queries.windows import box_name
from teamops.contests.views.common import GET_OR_POST
from teamops.contests.views.day import entry_of
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.actions import small_name
from teamops.teams.pictures import TOO_LARGE
from teamops.teams.roles import Permission
from teamops.teams.versions import Conflict
from teamops.web.uploads import too_large

KEPT = "private, max-age=604800"  # a photo never changes; a week in its own viewer's browser


@require_http_methods(GET_OR_POST)
@team_view(Permission.LOG)
def add_photo(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Add photos of a box, several at once; one that is refused does not cost the others."""
    entry = entry_of(request, pk)
    form = PhotosForm()
    if request.method == "POST":
        form = PhotosForm(request.POST, request.FILES, too_large=too_large(request))
        with timezone.override(entry.contest.zone):
            kept = _keep(form, entry, request) if form.is_valid() else 0
        if kept:
            many = "1 photo is" if kept == 1 else f"{kept} photos are"
            messages.success(request, f"{many} kept.")
        if not form.errors:
            return redirect("contests:add_photo", request.team.slug, pk)
    page = {
        "entry": entry,
        "contest": entry.contest,
        "form": form,
        "gallery": photos_of(entry, request.membership),
    }
    return render(request, "contests/photos.html", page, status=422 if form.errors else 200)


def _keep(form: PhotosForm, entry: Entry, request: TeamRequest) -> int:
    """Keep what can be kept; why another cannot stands at the field, by its name."""
    typed, kept = form.cleaned_data, 0
    for name in form.too_large:
        form.add_error("photos", f"{name}: {TOO_LARGE}")
    for upload in form.uploads:
        try:
            actions.add_photo(
                entry=entry, upload=upload, shows=typed["shows"], note=typed["note"],
                by=request.user,
            )  # fmt: skip
        except ValidationError as refusal:
            for words in refusal.messages:
                form.add_error("photos", f"{upload.name}: {words}")
        else:
            kept += 1
    return kept


def _shown(request: TeamRequest, pk: UUID) -> EntryPhoto:
    rows = EntryPhoto.objects.for_team(request.team)
    rows = rows.select_related("photo", "entry__contest", "entry__category")
    return get_object_or_404(rows.select_related("entry__cook_of_record"), pk=pk)


@require_GET
@team_view(Permission.SEE)
def show_photo(request: TeamRequest, pk: UUID) -> HttpResponse:
    """The picture itself, large or with `size=small`; until the awards for those who log."""
    photos = EntryPhoto.objects.for_team(request.team).select_related("photo", "entry__contest")
    shown = get_object_or_404(photos, pk=pk)
    if not may_see(shown.entry.contest, request.membership):
        raise PermissionDenied("Photos are for those who cook and help until the awards.")
    size = request.GET.get("size", "large")
    if size not in ("small", "large"):
        raise Http404("No such size.")
    name = str(shown.photo.file.name)
    try:
        with default_storage.open(small_name(name) if size == "small" else name) as file:
            answer = HttpResponse(file.read(), content_type="image/jpeg")
    except FileNotFoundError as error:
        raise Http404("The picture is gone.") from error
    answer["Cache-Control"] = KEPT
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Content-Disposition"] = f'inline; filename="{shown.shows}.jpg"'
    return answer


@require_http_methods(GET_OR_POST)
@team_view(Permission.LOG)
def remove_photo(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Ask, then take a photo away; a helper only their own. One that is gone already is gone."""
    if request.method == "POST" and not EntryPhoto.objects.for_team(request.team).filter(pk=pk):
        messages.info(request, "The photo is gone already.")
        return redirect("contests:show_contests", request.team.slug)
    shown = _shown(request, pk)
    entry = shown.entry
    if shown.photo.taken_by_id != request.user.pk:
        request.membership.require(Permission.PLAN)
    if request.method == "POST":
        actions.remove_photo(shown=shown)
        messages.success(request, "The photo is gone.")
        return redirect("contests:add_photo", request.team.slug, entry.pk)
    row = photo_row(shown, entry, request.membership)
    page = {"row": row, "entry": entry, "contest": entry.contest}
    return render(request, "contests/photo_remove.html", page)


@require_http_methods(GET_OR_POST)
@team_view(Permission.LOG)
def note_cook(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Doneness as seen, pull, last seen and peak; theirs beside ours if two note at once."""
    entry, units = entry_of(request, pk), request.team.units
    stored, more = entry.version, {}
    form = NoteCookForm(request.POST or None, instance=entry, units=units)
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            seen = form.cleaned_data["seen"] or stored
            try:
                actions.note_cook(entry=form.save(commit=False), seen=seen, by=request.user)
            except Conflict as conflict:
                stored, status = conflict.current.version, 409
                more = _theirs(request, entry, conflict)
            else:
                _say_odd(request, entry)
                return redirect("contests:add_photo", request.team.slug, pk)
    page = {
        "entry": entry,
        "contest": entry.contest,
        "name": box_name(entry),
        "form": form,
        "seen": stored,
    }
    return render(request, "contests/photo_cook.html", page | more, status=status)


def _theirs(request: TeamRequest, entry: Entry, conflict: Conflict) -> dict[str, Any]:
    theirs = conflict.current
    lines = cooked_of(entry_of(request, entry.pk), request.team.units).lines
    return {"theirs": theirs.changed_by or "Somebody", "their_lines": lines}


def _say_odd(request: TeamRequest, entry: Entry) -> None:
    odd = cooked_of(entry, request.team.units).odd
    for words in odd:
        messages.warning(request, words)
    if not odd:
        messages.success(request, "Noted.")
