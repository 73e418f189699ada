"""What is official about an entry, put right, with a dated word of it."""

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction

from teamops.calc.words import ordinal, plain
from teamops.contests.actions import mark_cooked
from teamops.contests.models import Contest, Entry
from teamops.judging.actions.results import store_results
from teamops.judging.history import save_with_history
from teamops.judging.models import Correction, Result
from teamops.teams.models import User

CORRECTABLE = (
    "official_total",
    "placing",
    "field_size",
    "tied",
    "tie_way",
    "disqualified",
    "disqualified_why",
    "overturned_why",
    "prize_owed",
    "prize_note",
)
NOTHING: tuple[Any, ...] = (None, "", False)
LONGEST = 500


@transaction.atomic
def correct_entry(
    *,
    entry: Entry,
    seen: int,
    official: Mapping[str, Any],
    corrected_on: date,
    why: str,
    by: User,
) -> Correction | None:
    """
    Put right what is official about an entry, and write down what changed, why and by whom.

    None, and nothing is written, where all of it is so already: the same page sent twice. Raises
    Conflict if someone wrote the entry since version `seen`, ValidationError for what cannot be
    stored.
    """
    entry = lock_entry(entry)
    changed = changes(entry, official)
    if not changed:
        return None
    words = correction_words(entry, changed)
    set_official(entry, changed, seen=seen, by=by)
    return write_correction(entry, words, corrected_on=corrected_on, why=why, by=by)


def lock_entry(entry: Entry) -> Entry:
    """The entry as it stands, for one writer; SQLite's IMMEDIATE transaction serves instead."""
    contest = Contest.objects.select_for_update().get(pk=entry.contest_id)
    rows = Entry.objects.select_for_update(of=("self",)).select_related("rulebook", "category")
    locked = rows.prefetch_related("rulebook__criteria").get(pk=entry.pk)
    locked.contest = contest
    return locked


def changes(entry: Entry, official: Mapping[str, Any]) -> dict[str, Any]:
    """What of it the entry has otherwise."""
    if not official.keys() <= set(CORRECTABLE):
        raise ValidationError("That is not part of what an organiser posts.")
    return {name: value for name, value in official.items() if getattr(entry, name) != value}


def set_official(entry: Entry, changed: Mapping[str, Any], *, seen: int, by: User) -> None:
    """Write it on the locked entry, and what its result is then."""
    entry.claim(seen=seen, by=by)
    for name, value in changed.items():
        setattr(entry, name, value)
    entry.clean_fields(exclude={f.name for f in entry._meta.fields} - changed.keys())
    save_with_history(entry, by=by, update_fields=[*changed, "version", "changed_by"])
    store_results(entry, by=by)
    result = Result.objects.filter(entry=entry).exclude(basis=Result.Basis.NONE)
    if result.exists():
        mark_cooked(contest=entry.contest, by=by)


def overwrites(entry: Entry, changed: Mapping[str, Any]) -> bool:
    """Whether something official was there already."""
    return any(getattr(entry, name) not in NOTHING for name in changed)


def write_correction(
    entry: Entry, words: str, *, corrected_on: date, why: str, by: User
) -> Correction:
    """A dated correction in words; it stays."""
    row = Correction(entry=entry, corrected_on=corrected_on, what=words, why=why, recorded_by=by)
    row.full_clean()
    row.save()
    return row


def correction_words(entry: Entry, changed: Mapping[str, Any]) -> str:
    """What changes on an entry as it stands, in words: “placing 3rd → 4th, total 182.5 → 181”."""
    text = ", ".join(_told(entry, changed))
    text = f"{text[:1].upper()}{text[1:]}."
    if "placing" in changed and entry.prize_owed and "prize_owed" not in changed:
        was = ordinal(entry.placing) if entry.placing else "no place"
        text += f" The prize of {plain(entry.prize_owed)} was written for {was}: it may move."
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 1]}…"


def _told(entry: Entry, changed: Mapping[str, Any]) -> Iterator[str]:
    for name, label, show in (
        ("placing", "placing", _place),
        ("official_total", "posted total", _number),
        ("field_size", "entries in the field", _number),
        ("prize_owed", "prize", _number),
    ):
        if name in changed:
            yield f"{label} {show(getattr(entry, name))} → {show(changed[name])}"
    if "tied" in changed:
        yield "tied for this place" if changed["tied"] else "no longer tied"
    if "tie_way" in changed:
        yield f"the tie was settled: {Entry.TieWay(changed['tie_way']).label}"
    if "disqualified" in changed:
        yield "disqualified" if changed["disqualified"] else "the disqualification taken back"
    for name, label in (
        ("disqualified_why", "reason given"),
        ("overturned_why", "taken back because"),
        ("prize_note", "about the prize"),
    ):
        if changed.get(name):
            yield f"{label}: {changed[name]}"
        elif name in changed and not (name == "disqualified_why" and "disqualified" in changed):
            yield f"{label}: nothing"


def _place(value: int | None) -> str:
    return ordinal(value) if value else "none"


def _number(value: Decimal | int | None) -> str:
    return "none" if value is None else plain(Decimal(value))
