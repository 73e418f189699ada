"""Our total beside what the same judges gave the others: cheaper evidence than marks alone."""

from collections.abc import Iterable, Sequence, Set
from datetime import date
from decimal import Decimal
from statistics import median
from typing import Any, NamedTuple
from uuid import UUID

from django.db.models import Q

from teamops.calc.reading import out_of
from teamops.contests.models import Entry
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.days import chosen
from teamops.judging.models import FieldLine, Posting
from teamops.rules.models import Rulebook
from teamops.teams.models import Team

FEWEST = 3  # totals of others, before their median says what the judges were like


class Beside(NamedTuple):
    """Our total at a contest less the median of the others': of our table, or of the field."""

    held_on: date
    more: float
    of_table: bool


class _Box(NamedTuple):
    held_on: date
    pk: UUID
    total: Decimal | None
    round: str


class _Line(NamedTuple):
    entry_id: UUID | None
    total: Decimal
    table: str


def beside_field(team: Team, selection: Selection, rulebook: Rulebook) -> dict[str, Beside]:
    """
    By contest's id, how far we stood above what is usual there; three queries.

    The other boxes of our own table come first, where the list says tables and there are three;
    else the whole field. The newest list of the round that gave our total is read. Contests without
    a list are not in it; none is where the lowest total wins.
    """
    if rulebook.direction == Rulebook.Direction.LOW:
        return {}
    postings = _postings(team, selection)
    if not postings:
        return {}
    boxes = _boxes(team, selection, {contest for contest, _, _ in postings})
    lists = _lists(postings, boxes)
    lines = _lines(lists.values())
    found = {}
    for contest, posting in lists.items():
        beside = _beside(boxes[contest], lines.get(posting, []))
        if beside is not None:
            found[str(contest)] = beside
    return found


def _postings(team: Team, selection: Selection) -> list[tuple[UUID, UUID, str]]:
    """The category's lists: contest, list and round, the newest last."""
    rows = Posting.objects.for_team(team).filter(category=selection.category_id)
    told = rows.order_by("posted_on", "recorded_at", "pk")
    return list(told.values_list("contest_id", "pk", "round"))


def _boxes(team: Team, selection: Selection, contests: Set[UUID]) -> dict[UUID, list[_Box]]:
    """Our boxes of the selection at these contests, without disqualified ones."""
    here = chosen(selection, "") & Q(contest__in=contests, disqualified=False)
    told: Iterable[Any] = (
        Entry.objects.for_team(team)
        .filter(here)
        .order_by("pk")
        .values_list(
            "contest_id", "contest__held_on", "rulebook_id", "pk", "official_total",
            "result__total", "result__round",
        )
    )  # fmt: skip
    boxes: dict[UUID, list[_Box]] = {}
    for contest, held_on, rulebook, pk, official, own, name in told:
        if rulebook == selection.rulebook_id and str(contest) not in selection.left_out:
            total = own if official is None else official
            boxes.setdefault(contest, []).append(_Box(held_on, pk, total, name or ""))
    return boxes


def _lists(
    postings: Sequence[tuple[UUID, UUID, str]], boxes: dict[UUID, list[_Box]]
) -> dict[UUID, UUID]:
    """The list to read of each contest: the newest of our round, else the newest of all."""
    newest: dict[UUID, UUID] = {}
    of_round: dict[UUID, UUID] = {}
    for contest, pk, name in postings:
        if contest in boxes:
            newest[contest] = pk
            if any(box.round == name for box in boxes[contest]):
                of_round[contest] = pk
    return newest | of_round


def _lines(postings: Iterable[UUID]) -> dict[UUID, list[_Line]]:
    rows: Iterable[Any] = (
        FieldLine.objects.filter(posting__in=list(postings), total__isnull=False)
        .order_by()
        .values_list("posting_id", "entry_id", "total", "table", "note")
    )
    lines: dict[UUID, list[_Line]] = {}
    for posting, entry, total, table, note in rows:
        if not (note and out_of(note)):
            lines.setdefault(posting, []).append(_Line(entry, total, table))
    return lines


def _beside(boxes: Sequence[_Box], lines: Sequence[_Line]) -> Beside | None:
    """Averaged over our boxes there: they share the day."""
    others = [line for line in lines if line.entry_id is None]
    ours = {line.entry_id: line for line in lines if line.entry_id is not None}
    found = []
    for box in boxes:
        line = ours.get(box.pk)
        total = line.total if line else box.total
        table = [one.total for one in others if line and line.table and one.table == line.table]
        of_table = len(table) >= FEWEST
        rest = table if of_table else [one.total for one in others]
        if total is not None and len(rest) >= FEWEST:
            found.append(Beside(box.held_on, float(total - median(rest)), of_table))
    if not found:
        return None
    more = sum(one.more for one in found) / len(found)
    return Beside(found[0].held_on, more, all(one.of_table for one in found))
