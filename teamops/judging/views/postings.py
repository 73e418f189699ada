"""A category's field as it was posted: its lists, one of them, and a new one by paste."""

from typing import Any
from uuid import UUID, uuid4

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from teamops.calc.reading import Ours
from teamops.contests.models import Contest, Entry
from teamops.judging import actions, queries
from teamops.judging.forms import PasteForm, Preview
from teamops.judging.models import Posting
from teamops.rules.models import Criterion
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.web.forms import refuse


@require_GET
@team_view(Permission.SEE)
def show_postings(request: TeamRequest, pk: UUID) -> HttpResponse:
    """The lists that are kept of a contest, category by category."""
    contest = get_object_or_404(Contest.objects.for_team(request.team), pk=pk)
    page = {
        "contest": contest,
        "categories": queries.category_lists(contest),
        "may_log": request.membership.may(Permission.LOG),
    }
    return render(request, "judging/postings.html", page)


@require_GET
@team_view(Permission.SEE)
def show_posting(request: TeamRequest, pk: UUID) -> HttpResponse:
    """One list: everybody's place, ours marked, its ties, and what it corrected."""
    rows = Posting.objects.for_team(request.team).defer("text")
    posting = get_object_or_404(rows.select_related("contest", "category", "recorded_by"), pk=pk)
    page = {
        "page": queries.standing_page(posting),
        "contest": posting.contest,
        "may_log": request.membership.may(Permission.LOG),
    }
    return render(request, "judging/posting.html", page)


@require_http_methods(["GET", "POST"])
@team_view(Permission.LOG)
def add_posting(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Paste a list, see how it is understood, put that right, keep it."""
    contest = get_object_or_404(Contest.objects.for_team(request.team), pk=pk)
    entries = list(
        contest.entries.select_related("category", "rulebook", "cook_of_record").order_by(
            "category__ancillary", "category__name", "pk"
        )
    )
    with timezone.override(contest.zone):
        if request.method == "POST":
            return _read(request, contest, entries)
        form = PasteForm(contest=contest, initial=_initial(request, contest))
        return _page(request, contest, entries, form, None)


def _initial(request: TeamRequest, contest: Contest) -> dict[str, Any]:
    today = timezone.localdate()
    return {
        "id": uuid4(),
        "category": request.GET.get("category"),
        "posted_on": max(contest.held_on, today) if contest.postings.exists() else today,
    }


def _read(request: TeamRequest, contest: Contest, entries: list[Entry]) -> HttpResponse:
    """What was pasted, as it is understood; kept, if that is asked for and nothing is open."""
    form = PasteForm(request.POST, contest=contest)
    whole = form.is_valid()
    preview = None
    if form.cleaned_data.get("text") and form.cleaned_data.get("category"):
        category = form.cleaned_data["category"]
        ours = [entry for entry in entries if entry.category_id == category.pk]
        names = Criterion.objects.filter(rulebook__in={entry.rulebook_id for entry in ours})
        preview = Preview(
            request.POST,
            form.cleaned_data["text"],
            criteria=list(names.values_list("name", flat=True)),
            ours=[(entry, queries.entry_name(entry), _known(request, entry)) for entry in ours],
        )
        if preview.refused:
            form.add_error("text", preview.refused)
            whole, preview = False, None
    status = 200 if whole else 422
    if "keep" in request.POST and preview is not None:
        if whole and not preview.problems:
            kept = _keep(request, contest, form, preview)
            if kept is not None:
                return kept
        status = 422
    return _page(request, contest, entries, form, preview, status=status)


def _known(request: TeamRequest, entry: Entry) -> Ours:
    """How a box of ours may be named on a list."""
    return Ours(
        team=entry.cooked_for or request.team.name,
        number=entry.team_number,
        blind=entry.blind_number,
        cook=entry.guest_cook or (entry.cook_of_record.name if entry.cook_of_record else ""),
    )


def _keep(
    request: TeamRequest, contest: Contest, form: PasteForm, preview: Preview
) -> HttpResponse | None:
    typed = form.cleaned_data
    posting = Posting(
        pk=typed["id"],
        contest=contest,
        category=typed["category"],
        round=typed["round"],
        posted_on=typed["posted_on"],
        note=typed["note"],
        text=typed["text"],
    )
    try:
        kept = actions.keep_posting(
            posting=posting,
            rows=preview.rows,
            ours=preview.chosen,
            whole_field=typed["whole"],
            official=typed["official"],
            by=request.user,
        )
    except ValidationError as error:
        refuse(form, error)
        return None
    messages.success(request, f"The list is kept: {len(preview.rows)} lines.")
    for words in kept.says:
        messages.warning(request, words)
    return redirect("judging:show_posting", request.team.slug, kept.posting.pk)


def _page(
    request: TeamRequest,
    contest: Contest,
    entries: list[Entry],
    form: PasteForm,
    preview: Preview | None,
    status: int = 200,
) -> HttpResponse:
    page: dict[str, Any] = {
        "contest": contest,
        "entries": entries,
        "form": form,
        "preview": preview,
        "pressed_keep": "keep" in request.POST,
    }
    if preview is not None:
        page["promise"] = queries.promise(preview.reading, preview.rows, preview.chosen, entries)
    return render(request, "judging/posting_form.html", page, status=status)
