"""Drafts beside what is stored: what is new, what is there already, what would change."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from teamops.calc.words import opening, plain
from teamops.judging.imports.drafts import ContestDraft, Drafts, EntryDraft, SheetDraft
from teamops.judging.imports.known import Known, Papers, Stored

NEW, SAME, CHANGES = "new", "same", "changes"
LABELS = {
    "official_total": "posted total",
    "placing": "placing",
    "field_size": "entries in the field",
    "tied": "tied",
    "prize_owed": "prize",
    "disqualified": "disqualified",
    "state": "what became of the box",
    "pull_c": "pull temperature",
    "last_seen_c": "last seen temperature",
    "peak_c": "peak temperature",
    "doneness_seen": "doneness as seen",
    "notes": "notes",
    "team_number": "team number",
    "blind_number": "number on the box",
    "cook_of_record": "cook of record",
    "guest_cook": "cook",
    "place": "where it was",
    "fee": "entry fee",
}
EMPTY = ("", None, False)


@dataclass(frozen=True, slots=True)
class Happens:
    """One thing that taking the table in does, at a row, in words."""

    row: int
    does: str
    words: str


def changed_values(entry: EntryDraft) -> dict[str, Any]:
    """What a stored box gets that it does not have yet; a box's number and cook only where free."""
    stored = entry.stored
    if stored is None:
        return {}
    wanted = dict(entry.values)
    for name in ("team_number", "blind_number", "guest_cook"):
        if getattr(entry, name) and not getattr(stored, name):
            wanted[name] = getattr(entry, name)
    if stored.guest_cook or stored.cook_of_record_id:
        wanted.pop("guest_cook", None)
    elif entry.cook is not None:
        wanted["cook_of_record"] = entry.cook
    return {name: value for name, value in wanted.items() if getattr(stored, name) != value}


def changed_contest(draft: ContestDraft) -> dict[str, Any]:
    """What a stored contest gets: only what nobody has written of it yet."""
    if draft.stored is None:
        return {}
    return {
        name: value
        for name, value in draft.values.items()
        if name != "state" and getattr(draft.stored, name) in EMPTY and value not in EMPTY
    }


def match_sheets(entry: EntryDraft, papers: Papers) -> None:
    """Know each sheet of a stored box again: by its judge, else by the very same marks."""
    free = list(papers.sheets.get(entry.stored.pk, [])) if entry.stored else []
    waiting = []
    for sheet in entry.sheets:
        seated = [one for one in free if _same_seat(sheet, one)] if sheet.seat else []
        found = next((one for one in seated if _same_paper(sheet, one)), None)
        if found is None and seated:
            found = seated[0]
        _take(sheet, found, free) if found else waiting.append(sheet)
    for sheet in waiting:
        may_be = (one for one in free if not (sheet.seat and one.sheet.seat))
        found = next((one for one in may_be if _same_paper(sheet, one)), None)
        if found is not None:
            _take(sheet, found, free)


def _take(sheet: SheetDraft, found: Stored, free: list[Stored]) -> None:
    free.remove(found)
    sheet.stored = found
    sheet.does = SAME if _same_paper(sheet, found) else CHANGES


def _same_seat(sheet: SheetDraft, one: Stored) -> bool:
    stored = one.sheet
    key = tuple(part.casefold() for part in (stored.round, stored.panel, stored.table, stored.seat))
    table = not sheet.table or not stored.table or sheet.key[2] == key[2]
    return table and (sheet.key[0], sheet.key[1], sheet.key[3]) == (key[0], key[1], key[3])


def _same_paper(sheet: SheetDraft, one: Stored) -> bool:
    """Whether a stored sheet has all that the draft says."""
    for key, mark in sheet.marks.items():
        stored = one.marks.get(key)
        if stored is None:
            if not mark.is_blank:
                return False
        elif (stored.points, stored.said) != (mark.points, mark.said):
            return False
    given = sheet.given_total is None or sheet.given_total == one.sheet.given_total
    return given and (not sheet.comment or sheet.comment == one.sheet.comment)


def happenings(drafts: Drafts, papers: Papers, known: Known) -> Iterator[Happens]:
    """All that taking the table in does, and what it leaves as it is."""
    for contest in drafts.contests:
        yield from _contest(contest)
        for entry in contest.entries:
            yield from _entry(entry, known)
            yield from _totals(entry, papers)
            for sheet in entry.sheets:
                yield from _sheet(sheet, entry)


def _contest(draft: ContestDraft) -> Iterator[Happens]:
    first = draft.numbers[0] if draft.numbers else 0
    if draft.stored is None:
        yield Happens(first, NEW, f"makes the contest {draft.name}, {day_words(draft.held_on)}")
        return
    changed = changed_contest(draft)
    for name, value in draft.values.items():
        row = draft.rows.get(name, first)
        if name in changed:
            yield Happens(row, NEW, f"adds {LABELS[name]}: {said(value)}")
        else:
            yield Happens(row, SAME, "")


def _entry(entry: EntryDraft, known: Known) -> Iterator[Happens]:
    first = entry.numbers[0] if entry.numbers else 0
    if entry.stored is None:
        number = f" number {entry.blind_number}" if entry.blind_number else ""
        yield Happens(first, NEW, f"makes the box of {entry.category}{number}")
        return
    changed = changed_values(entry)
    for name, value in {**entry.values, **changed}.items():
        row = entry.rows.get(name, first)
        before = getattr(entry.stored, name)
        if name not in changed:
            yield Happens(row, SAME, "")
        elif before in EMPTY:
            yield Happens(row, NEW, f"adds {LABELS[name]}: {said(value)}")
        else:
            yield Happens(row, CHANGES, f"{LABELS[name]} {said(value)}, was {said(before)}")


def _totals(entry: EntryDraft, papers: Papers) -> Iterator[Happens]:
    stored = papers.totals.get(entry.stored.pk, {}) if entry.stored else {}
    names = {row.pk: row.name for row in entry.criteria}
    for key, total in entry.totals.items():
        before = stored.get(key)
        row = entry.total_rows[key]
        if before is None or before.points is None:
            yield Happens(row, NEW, f"adds the total for {names[key].lower()}")
        elif before.points != total:
            words = f"{names[key]} in all {plain(total)}, was {plain(before.points)}"
            yield Happens(row, CHANGES, words)
        else:
            yield Happens(row, SAME, "")


def _sheet(sheet: SheetDraft, entry: EntryDraft) -> Iterator[Happens]:
    who = f"judge {sheet.seat}" if sheet.seat else "a judge"
    if sheet.stored is None:
        for number in sheet.numbers:
            yield Happens(number, NEW, f"a sheet of {who}")
        return
    names = {row.pk: row.name for row in entry.criteria}
    for number in sheet.numbers:
        told = list(_mark_changes(sheet, names, number))
        if sheet.given_total is not None and sheet.given_total != sheet.stored.sheet.given_total:
            told.append(f"total {plain(sheet.given_total)}")
        if sheet.comment and sheet.comment != sheet.stored.sheet.comment:
            told.append("another comment")
        words = f"{who}: {', '.join(told)}" if told else f"the sheet of {who} is here already"
        yield Happens(number, CHANGES if told else SAME, words)


def _mark_changes(sheet: SheetDraft, names: dict[int, str], number: int) -> Iterator[str]:
    for key, mark in sheet.marks.items():
        if sheet.rows.get(key) != number or sheet.stored is None:
            continue
        stored = sheet.stored.marks.get(key)
        now = mark.said or said(mark.points)
        if stored is None:
            if not mark.is_blank:
                yield f"{names[key]} {now} added"
        elif (stored.points, stored.said) != (mark.points, mark.said):
            yield f"{names[key]} {now}, was {stored.said or said(stored.points)}"


def day_words(day: date) -> str:
    return f"{day.day} {day:%B %Y}"


def said(value: Any) -> str:
    """A value in words."""
    if value is None:
        return "blank"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return plain(value) if isinstance(value, Decimal) else opening(str(value))


def sheets_in(drafts: Sequence[SheetDraft]) -> int:
    return sum(sheet.stored is None for sheet in drafts)
