"""Something official about one entry, put right outside a list."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from teamops.contests.models import Entry
from teamops.judging import actions, queries
from teamops.judging.forms import CorrectionForm
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.teams.versions import Conflict
from teamops.web.forms import refuse


@require_http_methods(["GET", "POST"])
@team_view(Permission.LOG)
def add_correction(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Correct what is official about an entry; the correction is dated and stays."""
    rows = Entry.objects.for_team(request.team).select_related("contest", "category")
    entry = get_object_or_404(rows, pk=pk)
    with timezone.override(entry.contest.zone):
        page: dict[str, Any] = {"seen": entry.version}
        status = 200
        if request.method == "POST":
            form = CorrectionForm(request.POST, instance=rows.get(pk=pk))
            done, status = _correct(request, entry, form, page)
            if done is not None:
                return done
        else:
            initial = {"corrected_on": timezone.localdate()}
            form = CorrectionForm(instance=entry, initial=initial)
        page |= {
            "form": form,
            "entry": entry,
            "contest": entry.contest,
            "name": queries.entry_name(entry),
            "corrections": queries.corrections_of(entry),
        }
        return render(request, "judging/correction_form.html", page, status=status)


def _correct(
    request: TeamRequest, entry: Entry, form: CorrectionForm, page: dict[str, Any]
) -> tuple[HttpResponse | None, int]:
    if not form.is_valid():
        page["seen"] = form.cleaned_data.get("seen") or entry.version
        return None, 422
    typed = form.cleaned_data
    try:
        correction = actions.correct_entry(
            entry=entry,
            seen=typed["seen"],
            official=form.official,
            corrected_on=typed["corrected_on"],
            why=typed["why"],
            by=request.user,
        )
    except ValidationError as error:
        refuse(form, error)
        page["seen"] = typed["seen"]
        return None, 422
    except Conflict as conflict:
        current = conflict.current
        page |= {"seen": current.version, "by": current.changed_by}
        page["theirs"] = actions.correction_words(current, actions.changes(current, form.official))
        return None, 409
    if correction is None:
        messages.info(request, "Nothing was different, so nothing was corrected.")
    else:
        messages.success(request, f"Corrected: {correction.what}")
    return redirect("judging:add_correction", request.team.slug, entry.pk), 302
