"""Boxes: what is odd about them, what became of them, and who was to cook them."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from uuid import UUID

from teamops.contests.models import Contest, Entry
from teamops.contests.queries.words import long_day, short_day, whose, window
from teamops.rules.models import Rulebook
from teamops.teams.models import User


@dataclass(frozen=True, slots=True)
class BoxRow:
    """A box as the contest's page shows it, in words."""

    entry: Entry
    who: str
    window: str
    prize: str
    became: str
    added_that_day: bool
    warnings: tuple[str, ...]


def entry_warnings(contest: Contest, entries: Sequence[Entry]) -> dict[UUID, list[str]]:
    """What is odd about each box, in words; nothing of it is refused. Asks nothing.

    One blind number on two boxes, one cook of record for two boxes at a time, a window on
    another day than the contest's.
    """
    found: dict[UUID, list[str]] = defaultdict(list)
    for entry in entries:
        others = [other for other in entries if other.pk != entry.pk]
        found[entry.pk] = [*_same_number(entry, others), *_same_hands(entry, others)]
        at = entry.window_opens_at or entry.window_closes_at
        if at and (day := at.astimezone(contest.zone).date()) != contest.held_on:
            found[entry.pk].append(f"Its window is on {short_day(day)}, not on the contest’s day.")
    return found


def _same_number(entry: Entry, others: Iterable[Entry]) -> Iterator[str]:
    for other in others:
        if not entry.blind_number or entry.blind_number != other.blind_number:
            continue
        elsewhere = entry.category_id != other.category_id
        where = str(other.category) if elsewhere else "another box of this category"
        yield f"Blind number {entry.blind_number} is on {where} too."


def _same_hands(entry: Entry, others: Iterable[Entry]) -> Iterator[str]:
    if not entry.cook_of_record_id or entry.guest_cook or entry.state in Entry.OUT:
        return
    for other in others:
        same = other.cook_of_record_id == entry.cook_of_record_id and not other.guest_cook
        if same and other.state not in Entry.OUT and _at_once(entry, other):
            yield f"{entry.cook_of_record} cooks {other.category} in the same window."


def _at_once(one: Entry, other: Entry) -> bool:
    """Whether two windows overlap; one that touches the next does not."""
    starts = [row.window_opens_at or row.window_closes_at for row in (one, other)]
    ends = [row.window_closes_at or row.window_opens_at for row in (one, other)]
    if None in starts:
        return False
    latest, soonest = max(filter(None, starts)), min(filter(None, ends))
    return latest < soonest or starts[0] == starts[1]


def box_rows(contest: Contest) -> list[BoxRow]:
    """The contest's boxes as its page shows them; one query where its entries are read already."""
    entries = list(contest.entries.all())
    for entry in entries:
        entry.contest = contest
    odd, added = entry_warnings(contest, entries), added_that_day(contest)
    return [
        BoxRow(
            entry=entry,
            who=whose(entry),
            window=window(entry),
            prize=prize_words(entry, contest.team.currency),
            became=Entry.State(entry.state).label if entry.state else "",
            added_that_day=entry.pk in added,
            warnings=tuple(odd[entry.pk]),
        )
        for entry in entries
    ]


def added_that_day(contest: Contest) -> set[UUID]:
    """The boxes that were added on the contest's very day, on its clock; one query."""
    rows = Entry.history.filter(contest_id=contest.pk, history_type="+")
    return {
        pk
        for pk, at in rows.values_list("id", "history_date")
        if at.astimezone(contest.zone).date() == contest.held_on
    }


def entry_story(entry: Entry) -> list[str]:
    """Who was to cook it and what became of it, change by change, newest last; three queries."""
    zone, lines = entry.contest.zone, list[str]()
    past = list(entry.history.order_by("history_date", "history_id"))
    known = {row.cook_of_record_id for row in past} | {row.changed_by_id for row in past}
    names = {user.pk: str(user) for user in User.objects.filter(pk__in=known - {None})}
    books = Rulebook.objects.in_bulk({row.rulebook_id for row in past})
    before = None
    for row in past:
        day = long_day(row.history_date.astimezone(zone).date())
        by = f", by {names[row.changed_by_id]}" if row.changed_by_id in names else ""
        lines += [f"{day}: {words}{by}" for words in _changes(row, before, names)]
        if before is not None and row.rulebook_id != before.rulebook_id:
            lines.append(f"{day}: judged by {books.get(row.rulebook_id, 'another rulebook')}{by}")
        before = row
    return lines


def _changes(row: Entry, before: Entry | None, names: dict[int, str]) -> Iterator[str]:
    """What one save changed of who cooks and what became of it."""
    cook = row.guest_cook or names.get(row.cook_of_record_id or 0, "nobody yet")
    if before is None:
        yield f"entered, cook {cook}"
        return
    was = before.guest_cook or names.get(before.cook_of_record_id or 0, "nobody yet")
    if cook != was:
        yield f"moved from {was} to {cook}"
    if row.cooked_for != before.cooked_for:
        yield f"cooked for {row.cooked_for}" if row.cooked_for else "cooked for ourselves again"
    if row.state != before.state:
        yield Entry.State(row.state).label
    if row.blind_number != before.blind_number and before.blind_number:
        yield f"blind number {before.blind_number} became {row.blind_number or 'none'}"


def prize_words(entry: Entry, currency: str) -> str:
    """What was won, and what of it has come: "300.00 USD, 150.00 received, 150.00 to come"."""
    owed, got = entry.prize_owed, entry.prize_received
    if not owed and not got:
        return entry.prize_note
    parts = [f"{owed:.2f} {currency}"] if owed else []
    if got:
        on = f" on {short_day(entry.prize_received_on)}" if entry.prize_received_on else ""
        parts.append(f"{got:.2f} received{on}")
    if owed and (left := owed - (got or 0)) > 0:
        parts.append(f"{left:.2f} to come")
    return ", ".join(parts) + (f" ({entry.prize_note})" if entry.prize_note else "")


def box_words(entry: Entry) -> str:
    """The box with its cook and window, for a list to choose from."""
    return ", ".join(part for part in (str(entry.category), whose(entry), window(entry)) if part)
