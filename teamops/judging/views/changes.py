from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from teamops.contests.queries import today_of
from teamops.judging import actions
from teamops.judging.forms import ChangeForm
from teamops.judging.forms.changes import MEANT, WORDS, PlanForm
from teamops.judging.models import Change
from teamops.judging.queries.changes import contests_to_say, how_it_stands, uses_of
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.teams.versions import Conflict
from teamops.web.forms import refuse

MEANWHILE = "Somebody altered the change meanwhile. Look at it again, then keep the plan."


@require_http_methods(["GET", "POST"])
@team_view(Permission.PLAN)
def add_change(request: TeamRequest) -> HttpResponse:
    """Write down a new change."""
    return _edit(request, Change(team=request.team))


@require_http_methods(["GET", "POST"])
@team_view(Permission.PLAN)
def change_change(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Correct a change, end it, or say at which contests it was otherwise."""
    return _edit(request, _change(request, pk))


@require_http_methods(["GET", "POST"])
@team_view(Permission.PLAN)
def delete_change(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Ask, then take a change away; one that is gone already is gone."""
    change = Change.objects.for_team(request.team).filter(pk=pk).first()
    if request.method == "GET":
        get_object_or_404(Change.objects.for_team(request.team), pk=pk)
        return render(request, "judging/delete_change.html", {"change": change})
    if change is not None:
        actions.delete_change(change=change, by=request.user)
        messages.success(request, f"“{change}” is deleted.")
    return redirect("insight:show_changes", request.team.slug)


@require_POST
@team_view(Permission.PLAN)
def plan_change(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Keep the plan that the change's page suggested, as it was shown there."""
    change = _change(request, pk)
    form = PlanForm(request.POST, contests=contests_to_say(request.team, today_of(request.team)))
    if not form.is_valid():
        errors = [words for some in form.errors.values() for words in some]
        messages.error(request, f"The plan is not kept. {errors[0]}")
    else:
        plan, seen = form.plan(), form.cleaned_data["seen"]
        try:
            actions.keep_plan(change=change, plan=plan, seen=seen, by=request.user)
        except Conflict:
            messages.error(request, MEANWHILE)
        except ValidationError as refusal:
            messages.error(request, f"The plan is not kept. {refusal.messages[0]}")
        else:
            messages.success(request, "The plan is kept.")
    return redirect("insight:show_change", request.team.slug, pk)


def _change(request: TeamRequest, pk: UUID) -> Change:
    change = get_object_or_404(Change.objects.for_team(request.team), pk=pk)
    change.team = request.team
    return change


def _edit(request: TeamRequest, change: Change) -> HttpResponse:
    uses, new = uses_of(change), change._state.adding
    page = {"change": change, "new": new, "seen": "" if new else how_it_stands(change, uses)}
    contests = contests_to_say(request.team, today_of(request.team), uses)
    form = ChangeForm(request.POST or None, instance=change, contests=contests, uses=uses)
    page["form"], status = form, 200
    if request.method == "POST":
        status = 422
        page["seen"] = request.POST.get("seen", "")
        if form.is_valid():
            typed, seen = form.uses(), form.cleaned_data["seen"]
            try:
                actions.save_change(change=change, uses=typed, seen=seen, by=request.user)
            except Conflict as conflict:
                page |= _theirs(form, conflict.current)
                status = 409
            except ValidationError as refusal:
                refuse(form, refusal)
            else:
                messages.success(request, f"“{change}” is kept.")
                return redirect("insight:show_change", request.team.slug, change.pk)
    return render(request, "judging/change_form.html", page, status=status)


def _theirs(form: ChangeForm, current: Change) -> dict[str, object]:
    """What stands now beside what was typed, where they differ; who wrote it; how it stands."""
    uses, typed = uses_of(current), form.cleaned_data
    rows = []
    for name in form.Meta.fields:
        ours, theirs = typed[name], getattr(current, name)
        if ours != theirs:
            nothing = "every box" if name == "category" else None
            rows.append((form[name].label, theirs or nothing, ours or nothing))
    said = {meant: words for value, words in WORDS.items() for meant in [MEANT[value]]}
    names = {one.pk: one.name for one in form.contests}
    for contest, meant in form.uses().items():
        if meant != uses.get(contest):
            rows.append((names[contest], said[uses.get(contest)], said[meant]))
    last = current.history.order_by("-history_date").first()
    return {
        "current": rows,
        "by": last.history_user if last else None,
        "seen": how_it_stands(current, uses),
    }
