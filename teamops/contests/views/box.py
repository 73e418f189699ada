"""Before the lid closes."""

from uuid import UUID, uuid4

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from teamops.contests.actions import box as actions
from teamops.contests.forms.box import BoxForm
from teamops.contests.queries.box import box_questions, lid_rows
from teamops.contests.queries.windows import box_name
from teamops.contests.views.common import GET_OR_POST
from teamops.contests.views.day import entry_of
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_http_methods(GET_OR_POST)
@team_view(Permission.LOG)
def check_box(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Look at the box, question by question; what is not right is said, and stops nothing."""
    entry = entry_of(request, pk)
    form = BoxForm(request.POST or None, questions=box_questions(entry.rulebook, entry))
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        check = actions.keep_lid_check(
            entry=entry, check_id=typed["check"] or uuid4(), answers=form.answers,
            note=typed["note"], by=request.user,
        )  # fmt: skip
        if check.all_right:
            messages.success(request, f"{box_name(entry)}: the box is all right.")
            return redirect("contests:turn_in", request.team.slug, pk)
        url = reverse("contests:check_box", args=[request.team.slug, pk])
        return redirect(f"{url}#last")
    page = {
        "entry": entry,
        "contest": entry.contest,
        "name": box_name(entry),
        "form": form,
        "rows": lid_rows(entry),
    }
    return render(request, "contests/box.html", page, status=422 if form.errors else 200)
