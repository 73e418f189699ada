"""The cooks' meeting, three minutes on a phone."""

from typing import Any
from urllib.parse import urlencode
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpResponse, HttpResponseBadRequest
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from teamops.contests.actions import meeting as actions
from teamops.contests.forms import refuse_with
from teamops.contests.forms.meeting import LineForm, MoveForm, line_form
from teamops.contests.models import Contest, Entry, MeetingWord
from teamops.contests.queries.meeting import LINES, WINDOW, label_of, meeting_page
from teamops.contests.queries.windows import offset_sentence, span
from teamops.contests.views.common import contest_of
from teamops.contests.views.day import entry_of
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission
from teamops.teams.versions import Conflict


@require_GET
@team_view(Permission.SEE)
def show_meeting(request: TeamRequest, pk: UUID) -> HttpResponse:
    """What the meeting goes through: what is still open first."""
    contest = contest_of(request, pk)
    return _page(request, contest, offer=_offer(request, contest))


@require_POST
@team_view(Permission.LOG)
def say_word(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Confirm one line as it stands, or change it; where it stands otherwise, theirs is shown."""
    contest = contest_of(request, pk)
    line, entry = _place(request, contest)
    if not line:
        return HttpResponseBadRequest("No such line.")
    form, seen = None, request.POST.get("seen", "")
    if request.POST.get("press") != "confirm":
        form = line_form(line, contest, entry, now=timezone.now(), data=request.POST)
        if not form.is_valid():
            return _page(request, contest, line=line, entry=entry, form=form, status=422)
    old = (entry.window_opens_at, entry.window_closes_at) if entry else None
    try:
        word = actions.say_word(
            contest=contest, line=line, entry=entry, seen=seen, by=request.user,
            change=form.change if form else None,
        )  # fmt: skip
    except Conflict:
        return _page(request, contest, line=line, entry=entry, form=form, theirs=seen, status=409)
    except ValidationError as error:
        if form is None:
            raise
        refuse_with(form, error)
        return _page(request, contest, line=line, entry=entry, form=form, status=422)
    stays = f"now {word.after or 'nothing'}" if word.changed else "as it stands"
    messages.success(request, f"{label_of(line, entry)}: {stays}.")
    return redirect(_next(request, contest, word, old))


def _place(request: TeamRequest, contest: Contest) -> tuple[str, Entry | None]:
    """The line that was pressed: a line of the contest, or a window with its box."""
    line = request.POST.get("line", "")
    if line != WINDOW:
        return (line if line in LINES else ""), None
    try:
        pk = UUID(request.POST.get("entry", ""))
    except ValueError:
        return "", None
    entry = entry_of(request, pk)
    if entry.contest_id != contest.pk:
        raise Http404("No such box at this contest.")
    entry.contest = contest
    return WINDOW, entry


def _next(request: TeamRequest, contest: Contest, word: MeetingWord, old: Any) -> str:
    """Back to the meeting; after a window moved, with how far, so that the others can follow."""
    url = reverse("contests:show_meeting", args=[request.team.slug, contest.pk])
    if word.changed and word.entry_id and old:
        entry = Entry.objects.get(pk=word.entry_id)
        ends = zip(old, (entry.window_opens_at, entry.window_closes_at), strict=True)
        moved = {(now - then).total_seconds() for then, now in ends if then and now}
        if len(moved) == 1 and (seconds := int(moved.pop())):
            query = urlencode({"word": str(word.pk), "seconds": seconds})
            return f"{url}?{query}#meeting"
    return f"{url}#meeting"


def _offer(request: TeamRequest, contest: Contest) -> dict[str, Any] | None:
    """The one press that moves the other windows as well, where there are any to move."""
    form = MoveForm(request.GET)
    if "word" not in request.GET or not form.is_valid():
        return None
    typed = form.cleaned_data
    word = contest.words.filter(pk=typed["word"], line=WINDOW, changed=True).first()
    if word is None or word.entry_id is None:
        return None
    others = contest.entries.exclude(pk=word.entry_id).exclude(state__in=Entry.OUT)
    moved = contest.words.filter(line=WINDOW, said_at__gt=word.said_at).values("entry")
    left = others.filter(turned_in_at=None).exclude(pk__in=moved)
    many = left.exclude(window_opens_at=None, window_closes_at=None).count()
    if not many:
        return None
    way = "later" if typed["seconds"] > 0 else "earlier"
    which = "other window" if many == 1 else f"other {many} windows"
    press = f"Move the {which} {span(typed['seconds'])} {way} too"
    return {"word": word.pk, "seconds": typed["seconds"], "press": press}


@require_POST
@team_view(Permission.LOG)
def move_windows(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Move the other windows as far as one was moved; twice is once."""
    contest = contest_of(request, pk)
    form = MoveForm(request.POST)
    if not form.is_valid():
        return HttpResponseBadRequest("No such move.")
    typed = form.cleaned_data
    words = MeetingWord.objects.for_team(request.team).filter(contest=contest, line=WINDOW)
    word = get_object_or_404(words.select_related("contest"), pk=typed["word"])
    moved = actions.move_windows(after=word, seconds=typed["seconds"], by=request.user)
    many = f"{len(moved)} window{'s' if len(moved) != 1 else ''} moved."
    messages.success(request, many if moved else "The other windows had moved already.")
    return redirect("contests:show_meeting", request.team.slug, contest.pk)


def _page(
    request: TeamRequest,
    contest: Contest,
    *,
    line: str = "",
    entry: Entry | None = None,
    form: LineForm | None = None,
    theirs: str | None = None,
    status: int = 200,
    offer: dict[str, Any] | None = None,
) -> HttpResponse:
    """The page with a form a line; `form` is one that was refused, `theirs` what it had seen."""
    now = timezone.now()
    with timezone.override(contest.zone):
        if theirs is not None:
            contest.refresh_from_db()  # somebody else wrote it meanwhile
        meeting = meeting_page(contest)
        pressed = f"{WINDOW}-{entry.pk}" if entry else line.replace("_", "-")

        def with_form(row: Any) -> dict[str, Any]:
            own = row.key == pressed
            asked = form if own and form else None
            return {
                "row": row,
                "form": asked or line_form(row.line, contest, row.entry, now=now),
                "open": own and form is not None,
                "seen": theirs if own else None,
            }

        page = {
            "contest": contest,
            "meeting": meeting,
            "open_lines": [with_form(row) for row in meeting.open],
            "settled_lines": [with_form(row) for row in meeting.settled],
            "may_log": request.membership.may(Permission.LOG),
            "offer": offer,
            "offset": offset_sentence(contest.clock_offset_seconds),
            "server_now": int(now.timestamp()),
        }
        return render(request, "contests/meeting.html", page, status=status)
