"""What the team changed, each with its verdict in a word or two, and what is planned next."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any
from uuid import UUID

from django.db.models import Q

from teamops.calc.effects import lucky_sentence
from teamops.calc.words import list_words
from teamops.contests.models import Contest
from teamops.insight.queries.changes import compare, contests_of
from teamops.insight.queries.changes_averages import (
    Tables,
    averages_of,
    has_scale,
    held_contests,
    read_tables,
)
from teamops.insight.queries.changes_told import NEITHER, NO_COMPARISON, quoted, short_words
from teamops.insight.queries.choices import Choices, Selection
from teamops.insight.queries.ground import ledger_choices
from teamops.judging.models import Change, ChangeUse
from teamops.judging.queries.changes import Pattern, pattern_of
from teamops.judging.queries.debrief import contests_of_changes
from teamops.rules.models import Criterion
from teamops.teams.models import Team

UNTOLD = (NEITHER, NO_COMPARISON)  # what is compared with nothing can be no luck
NEXT = 6  # coming contests whose plans are told

Uses = Mapping[UUID, Mapping[str, bool]]  # by change, then by contest


@dataclass(frozen=True, slots=True)
class ChangeRow:
    """A change: since when, for what, and what its scores tell.

    `told_from` says which contests the verdict is from: those its page shows at first.
    """

    pk: UUID
    what: str
    days: str
    of: str
    category_id: UUID | None
    note: str
    verdict: str
    look: str
    told_from: str
    debriefed: Contest | None


@dataclass(frozen=True, slots=True)
class NextPlan:
    """A coming contest with what is decided about changes there."""

    contest_id: UUID
    name: str
    held_on: date
    words: str


@dataclass(frozen=True, slots=True)
class ChangesPage:
    """Every change, the latest first, what is planned for the coming contests, and `luck`.

    `luck` says how many of so many changes stand out by chance; empty for less than two.
    """

    rows: tuple[ChangeRow, ...]
    plans: tuple[NextPlan, ...]
    luck: str = ""


def changes_page(team: Team, today: date, category_id: UUID | None = None) -> ChangesPage:
    """
    The list of changes; as many queries however many there are.

    With a category: those of it and of every box, each told from this category's contests alone.
    """
    rows_of = Change.objects.for_team(team).select_related("category")
    if category_id is not None:
        rows_of = rows_of.filter(Q(category=None) | Q(category=category_id))
    changes = list(rows_of.order_by("-starts_on", "what", "pk"))
    if not changes:
        return ChangesPage((), ())
    uses: dict[UUID, dict[str, bool]] = {}
    for change_id, contest_id, on in _said(team):
        uses.setdefault(change_id, {})[str(contest_id)] = on
    verdicts = _verdicts(team, changes, uses, category_id)
    came_from = contests_of_changes(team, changes)
    rows = [_row(change, verdicts[change.pk], came_from.get(change.pk)) for change in changes]
    told = sum(row.verdict not in UNTOLD for row in rows)
    plans = tuple(_plans(team, changes, uses, today))
    return ChangesPage(tuple(rows), plans, lucky_sentence(told))


def usual_selection(
    choices: Choices, change: Change, category_id: UUID | None = None
) -> Selection | None:
    """
    What a change is compared over unless something else is chosen; None where nothing has marks.

    Its category, the one asked for or the main one, the rulebook with most contests, every season.
    """
    there = choices_for(choices, change)
    usual = there.select(category_id)
    if category_id is not None and usual is not None and usual.category_id != category_id:
        return None
    return None if usual is None else replace(usual, season=None)


def choices_for(choices: Choices, change: Change) -> Choices:
    """What can be chosen for a change: of one category only that."""
    if change.category_id is None:
        return choices
    groups = [one for one in choices.groups if one.category_id == change.category_id]
    return replace(choices, groups=tuple(groups))


def _said(team: Team) -> Any:
    return ChangeUse.objects.for_team(team).values_list("change_id", "contest_id", "on")


def _verdicts(
    team: Team, changes: Sequence[Change], uses: Uses, category_id: UUID | None
) -> dict[UUID, tuple[str, str, str]]:
    """By change: the verdict, how it looks, and what it was told from."""
    choices = ledger_choices(team)
    picks = {change.pk: usual_selection(choices, change, category_id) for change in changes}
    books = {one.rulebook_id for one in picks.values() if one is not None}
    criteria: dict[UUID, list[Criterion]] = {}
    for row in Criterion.objects.filter(rulebook__in=books).order_by("rulebook", "order", "pk"):
        criteria.setdefault(row.rulebook_id, []).append(row)
    tables, held = read_tables(team), held_contests(team)
    found = {}
    for change in changes:
        selection = picks[change.pk]
        if selection is None:
            found[change.pk] = (NO_COMPARISON, "", "")
            continue
        own = criteria.get(selection.rulebook_id, [])
        found[change.pk] = _verdict(change, selection, own, tables, held, changes, uses)
    return found


def _verdict(
    change: Change,
    selection: Selection,
    criteria: Sequence[Criterion],
    tables: Tables,
    held: dict[str, tuple[str, date]],
    changes: Sequence[Change],
    uses: Uses,
) -> tuple[str, str, str]:
    scaled = [row for row in criteria if has_scale(row)]
    days = averages_of(tables.get(str(selection.category_id), {}), scaled, held)
    contests = contests_of(days)
    patterns: list[Pattern] = [
        pattern_of(one, uses.get(one.pk, {}), contests)
        for one in changes
        if one.category_id in (None, selection.category_id)
    ]
    found = compare(change, scaled, days, [day.is_whole for day in days], patterns)
    words, look = short_words(found.effect, found.company)
    told_from = ""
    if found.effect is not None:
        sides = f"{found.effect.with_it} contests with it, {found.effect.without} without"
        told_from = f"{selection.category}: {sides}"
    return words, look, told_from


def _row(change: Change, told: tuple[str, str, str], debriefed: Contest | None) -> ChangeRow:
    days = f"from {_day(change.starts_on)}"
    days += f" until {_day(change.ends_on)}" if change.ends_on else ", still so"
    verdict, look, told_from = told
    return ChangeRow(
        pk=change.pk,
        what=change.what,
        days=days,
        of=change.category.name if change.category else "every box",
        category_id=change.category_id,
        note=change.note,
        verdict=verdict,
        look=look,
        told_from=told_from,
        debriefed=debriefed,
    )


def _plans(team: Team, changes: Sequence[Change], uses: Uses, today: date) -> list[NextPlan]:
    """What is said of the next contests, in a line each; one query."""
    rows: Any = Contest.objects.for_team(team).coming(today).values_list("pk", "name", "held_on")
    plans = []
    for pk, name, held_on in rows[:NEXT]:
        key = str(pk)
        said = {on: [quoted(x) for x in changes if uses.get(x.pk, {}).get(key) is on] for on in ON}
        words = [f"{how} {list_words(said[on])}" for on, how in ON.items() if said[on]]
        if words:
            plans.append(NextPlan(pk, name, held_on, ", ".join(words)))
    return plans


ON = {True: "with", False: "without"}


def _day(day: date) -> str:
    return f"{day.day} {day:%B %Y}"
