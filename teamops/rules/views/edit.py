"""The rulebook form: a new one, a change, a new edition, one contest's exception."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlencode
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_http_methods, require_POST

from teamops.rules import actions, queries
from teamops.rules.copies import copy_of, exception_edition, free_edition, free_next_edition
from teamops.rules.files import fingerprint
from teamops.rules.forms import BookPage, Draft
from teamops.rules.models import Criterion, Rulebook
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.teams.versions import Conflict

GET_OR_POST = ["GET", "POST"]
Keep = Callable[[Rulebook, Sequence[Criterion]], Rulebook]


@dataclass(frozen=True, slots=True)
class Job:
    """What the form is opened for: what it starts from, and how it is kept."""

    title: str
    button: str
    start: tuple[Rulebook, list[Criterion]]
    keep: Keep
    back: str
    exception: bool = False
    more: dict[str, Any] = field(default_factory=dict)


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def add_rulebook(request: TeamRequest) -> HttpResponse:
    """Write a new rulebook, from a blank page or from a copy of another."""
    team = request.team
    offered = list(queries.offered_rulebooks(team))
    start: tuple[Rulebook, list[Criterion]] = (Rulebook(), [])
    source = next((book for book in offered if str(book.pk) == request.GET.get("copy")), None)
    if source:
        start = copy_of(source)
        start[0].edition = free_edition(team, source.name, source.edition)
    return _form(
        request,
        Job(
            title="Write a rulebook",
            button="Keep the rulebook",
            start=start,
            keep=lambda book, rows: actions.add_rulebook(
                rulebook=book, criteria=rows, team=team, by=request.user
            ),
            back=reverse("rules:show_rulebooks", args=[team.slug]),
            more={"offered": [(book, queries.choice_label(book)) for book in offered],
                  "copied": source},
        ),
    )  # fmt: skip


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def change_rulebook(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Change a rulebook that no sheet is written under; a frozen one leads to a new edition."""
    rulebook = get_object_or_404(Rulebook.objects.filter(team=request.team), pk=pk)
    here = reverse("rules:show_rulebook", args=[request.team.slug, pk])
    if rulebook.frozen_at:
        messages.error(request, "Sheets are written under it, so it stays: make a new edition.")
        return redirect(here)
    seen = request.POST.get("seen") or fingerprint(rulebook)
    return _form(
        request,
        Job(
            title=f"Change {rulebook}",
            button="Save",
            start=(rulebook, list(rulebook.criteria.all())),
            keep=lambda book, rows: actions.change_rulebook(
                rulebook=book, criteria=rows, seen=seen, by=request.user
            ),
            back=here,
            exception=rulebook.is_exception,
            more={"seen": seen},
        ),
    )


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def make_edition(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Write the next edition of a rulebook, starting from what it says now."""
    old = get_object_or_404(Rulebook.objects.for_team(request.team), pk=pk)
    copied, rows = copy_of(old)
    copied.edition = free_next_edition(request.team, old)
    copied.exception_why = old.exception_why
    return _form(
        request,
        Job(
            title=f"A new edition of {old}",
            button="Keep the new edition",
            start=(copied, rows),
            keep=lambda book, criteria: actions.add_rulebook(
                rulebook=book, criteria=criteria, team=request.team, by=request.user, follows=old
            ),
            back=reverse("rules:show_rulebook", args=[request.team.slug, pk]),
            exception=old.is_exception,
            more={"old": old},
        ),
    )


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def make_exception(request: TeamRequest, pk: UUID) -> HttpResponse:
    """
    Write what one contest does differently, and why.

    `next` is where the asker came from: a page of this site, which is gone back to with the new
    rulebook's id as `rulebook`. Any other address is left alone.
    """
    old = get_object_or_404(Rulebook.objects.for_team(request.team), pk=pk)
    copied, rows = copy_of(old)
    copied.edition = exception_edition(request.team, old)
    asker = _own_address(request, request.POST.get("next") or request.GET.get("next", ""))
    return _form(
        request,
        Job(
            title=f"One contest does it differently than {old}",
            button="Keep it for that contest",
            start=(copied, rows),
            keep=lambda book, criteria: actions.make_exception(
                of=old, why=book.exception_why, rulebook=book, criteria=criteria,
                team=request.team, by=request.user,
            ),
            back=asker or reverse("rules:show_rulebook", args=[request.team.slug, pk]),
            exception=True,
            more={"old": old, "next": asker},
        ),
    )  # fmt: skip


@require_POST
@team_view(Permission.SEE)
def work_out(request: TeamRequest) -> HttpResponse:
    """The example, worked out anew from what stands in the form; nothing is kept."""
    page = BookPage(Draft.sent(request.POST), Rulebook(), checked=True, exception=False)
    worked = _worked(page)
    return render(
        request,
        "rules/_worked_out.html",
        worked | {
            "sheet": page,
            "new_marks": request.POST.get("shape") != worked["shape"],
            "new_names": request.POST.get("names") != page.names_sign,
        },
    )  # fmt: skip


def _form(request: TeamRequest, job: Job) -> HttpResponse:
    """The page itself: shown, its rows moved about, worked out, or kept."""
    rulebook, criteria = job.start
    if request.method != "POST" or "press" not in request.POST:
        draft = Draft.of(rulebook, criteria)
        draft.fields["exception_why"] = rulebook.exception_why
        return _show(request, job, draft)
    draft, press = Draft.sent(request.POST), request.POST["press"]
    if press not in ("save", "work"):
        return _show(request, job, draft, focus=draft.press(press))
    page = BookPage(draft, rulebook, checked=True, exception=job.exception)
    fine = page.check()
    if press == "work" or not fine:
        return _show(request, job, draft, page=page, status=200 if fine else 422)
    try:
        kept = job.keep(page.rulebook, page.criteria)
    except ValidationError as refusal:
        page.refuse(refusal)
        return _show(request, job, draft, page=page, status=422)
    except Conflict as conflict:
        theirs = queries.differences(conflict.current, page.rulebook, page.criteria)
        job.more.update(theirs=theirs, seen=fingerprint(conflict.current))
        return _show(request, job, draft, page=page, status=409)
    messages.success(request, f"{kept} is kept.")
    if job.more.get("next"):
        glue = "&" if "?" in job.back else "?"
        return redirect(f"{job.back}{glue}{urlencode({'rulebook': kept.pk})}")
    return redirect("rules:show_rulebook", request.team.slug, kept.pk)


def _show(
    request: TeamRequest,
    job: Job,
    draft: Draft,
    *,
    page: BookPage | None = None,
    focus: str = "",
    status: int = 200,
) -> HttpResponse:
    shown = page or BookPage(draft, Rulebook(), checked=False, exception=job.exception)
    # what is worked out reads the boxes by itself, so that the page shown keeps its own errors
    worked = _worked(BookPage(draft, Rulebook(), checked=True, exception=False))
    context = {"job": job, "sheet": shown, "focus": focus} | job.more | worked
    # each form by itself, so that the top of the page can say what needs a look
    context |= {f"form_{number}": form for number, form in enumerate(shown.forms)}
    return render(request, "rules/form.html", context, status=status)


def _worked(page: BookPage) -> dict[str, Any]:
    """The example and its words, or what stops it."""
    rules, stops = page.rules()
    example = queries.work_out(rules, page.marks) if rules else None
    shape = [page.signs, [[p.name, p.columns, len(p.lines)] for p in example.panels] if example
             else []]  # fmt: skip
    return {"example": example, "stops": stops, "signs": page.signs, "shape": str(shape)}


def _own_address(request: TeamRequest, address: str) -> str:
    """The address if it is a page of this site, else nothing."""
    own = url_has_allowed_host_and_scheme(
        address, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return address if own and address.startswith("/") else ""
