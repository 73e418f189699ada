"""The cooks' meeting: words are added to its log, never rewritten, and what they change follows."""

from collections.abc import Mapping
from datetime import timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone

from teamops.contests.actions.anchors import move_with_box
from teamops.contests.models import Contest, Entry, MeetingWord
from teamops.contests.queries.meeting import WINDOW, stands
from teamops.teams.models import User
from teamops.teams.versions import Conflict

ENDS = ("window_opens_at", "window_closes_at")


@transaction.atomic
def say_word(
    *,
    contest: Contest,
    line: str,
    seen: str,
    by: User,
    entry: Entry | None = None,
    change: Mapping[str, Any] | None = None,
) -> MeetingWord:
    """
    Confirm a line as it stands, or change it; either way the log keeps who and when.

    `seen` is how the line stood on the page that was pressed. Raises Conflict if it stands
    otherwise now, unless it already stands as asked: two phones on different lines never meet, two
    on one line see each other, and one press sent twice is one word.
    """
    contest, entry = _locked(contest, entry)
    before = after = stands(contest, line, entry)
    if change is not None:
        for name, value in change.items():
            setattr(entry or contest, name, value)
        after = stands(contest, line, entry)
    if before != seen and (change is None or before != after):
        raise Conflict(Contest.objects.get(pk=contest.pk))
    newest = _newest(contest, line, entry)
    if newest and before == after and newest.said_by_id == by.pk and _left(newest) == after:
        return newest
    if before != after:
        _keep(entry or contest, by=by)
    return _word(contest, line, entry, before=before, after=after, by=by)


@transaction.atomic
def move_windows(*, after: MeetingWord, seconds: int, by: User) -> list[MeetingWord]:
    """
    Move the other windows of the contest by as much as one was moved; the words that says it.

    A box that is turned in, has no window, or whose window got a word since, is left alone: so a
    second press moves nothing twice.
    """
    contest, _ = _locked(after.contest, None)
    words = []
    entries = contest.entries.exclude(state__in=Entry.OUT).filter(turned_in_at=None)
    rows = entries.select_for_update(of=("self",))
    for entry in rows.select_related("category", "cook_of_record"):
        if entry.pk == after.entry_id:
            continue
        entry.contest = contest
        newest = _newest(contest, WINDOW, entry)
        before = stands(contest, WINDOW, entry)
        if not before or (newest and newest.said_at > after.said_at):
            continue
        for name in ENDS:
            moment = getattr(entry, name)
            if moment is not None:
                setattr(entry, name, moment + timedelta(seconds=seconds))
        _keep(entry, by=by)
        now = stands(contest, WINDOW, entry)
        words.append(_word(contest, WINDOW, entry, before=before, after=now, by=by))
    return words


def _locked(contest: Contest, entry: Entry | None) -> tuple[Contest, Entry | None]:
    """The contest and the box as they are now, with nobody else writing either."""
    # SQLite ignores the row lock; its IMMEDIATE transaction serves instead.
    now = Contest.objects.select_for_update(of=("self",)).get(pk=contest.pk)
    if entry is None:
        return now, None
    rows = now.entries.select_for_update(of=("self",))
    box = rows.select_related("category", "rulebook", "cook_of_record").get(pk=entry.pk)
    box.contest = now
    return now, box


def _newest(contest: Contest, line: str, entry: Entry | None) -> MeetingWord | None:
    return contest.words.filter(line=line, entry=entry).last()


def _left(word: MeetingWord) -> str:
    return word.after if word.changed else word.before


def _keep(row: Contest | Entry, *, by: User) -> None:
    """Count the write, so that somebody with the whole form open hears of it, and keep it."""
    row.claim(seen=row.version, by=by)
    row.full_clean()
    row.save()
    if isinstance(row, Entry):
        move_with_box(row)


def _word(
    contest: Contest, line: str, entry: Entry | None, *, before: str, after: str, by: User
) -> MeetingWord:
    changed = before != after
    word = MeetingWord(
        contest=contest,
        entry=entry,
        line=line,
        changed=changed,
        before=before,
        after=after if changed else "",
        said_by=by,
        said_at=timezone.now(),
    )
    word.full_clean()
    word.save(force_insert=True)
    return word
