"""What was decided about a box, whose total follows."""

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
from teamops.judging.forms.mend import SettleForm
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.teams.versions import Conflict
from teamops.web.forms import refuse


@require_http_methods(["GET", "POST"])
@team_view(Permission.LOG)
def settle_entry(request: TeamRequest, pk: UUID) -> HttpResponse:
    """What the judges decided: late, not judged, disqualified, a tie; the total follows."""
    rows = Entry.objects.for_team(request.team).select_related("contest", "category", "rulebook")
    entry = get_object_or_404(rows, pk=pk)
    with timezone.override(entry.contest.zone):
        page: dict[str, Any] = {"seen": entry.version}
        status = 200
        sent = request.POST if request.method == "POST" else None
        form = SettleForm(sent, instance=rows.get(pk=pk))
        if request.method == "POST":
            status = 422
            if form.is_valid():
                try:
                    _settle(request, entry, form)
                except Conflict as conflict:
                    page |= {"seen": conflict.current.version, "by": conflict.current.changed_by}
                    status = 409
                except ValidationError as error:
                    refuse(form, error)
                else:
                    return redirect("judging:record_scores", request.team.slug, pk)
            else:
                page["seen"] = form.cleaned_data.get("seen", entry.version)
        envelope = queries.envelope(entry)
        page |= {"form": form, "entry": entry, "contest": entry.contest, "envelope": envelope}
        page["name"] = queries.entry_name(entry)
        return render(request, "judging/settle.html", page, status=status)


def _settle(request: TeamRequest, entry: Entry, form: SettleForm) -> None:
    actions.settle_entry(
        entry=entry, seen=form.cleaned_data["seen"], decided=form.decided, by=request.user
    )
    messages.success(request, "What was decided is kept, and the total follows it.")
