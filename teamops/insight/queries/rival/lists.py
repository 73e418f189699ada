"""Whom a box of ours can be held against: the lines of its field's list, at our table first."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, NamedTuple
from uuid import UUID

from teamops.calc.field import Entrant
from teamops.calc.reading.ours import plain_name
from teamops.calc.words import brief, opening, ordinal
from teamops.contests.models import Entry
from teamops.insight.queries.placing.boxes import Box
from teamops.judging.models import FieldLine, Posting
from teamops.judging.queries.field import PostedLine, entrants
from teamops.rules.models import Criterion

Stored = list[dict[str, str]]


class Line(NamedTuple):
    """A stored line with its sheets; `pk` and `posting_id` first, then as `PostedLine` has them."""

    pk: int
    posting_id: UUID
    sheets: Stored
    posted: PostedLine


@dataclass(frozen=True, slots=True)
class Rivals:
    """A box's field: the list that holds, the others on it, our own line, and the lists before."""

    posting: Posting | None
    ours: Line | None
    others: tuple[Line, ...]
    earlier: tuple[Line, ...]

    def of(self, pk: int | None) -> Line | None:
        """
        The line with this id, else the one to start with; None where nobody is on the list.

        That is one whose sheets are known, else who was placed just ahead of us, else the first.
        """
        chosen = next((line for line in self.others if line.pk == pk), None)
        if chosen or not self.others:
            return chosen
        known = next((line for line in self.others if self.sheets_of(line)), None)
        place = self.ours.posted.placing if self.ours else None
        ahead = [
            line for line in self.others if place and line.posted.placing
            and line.posted.placing < place
        ]  # fmt: skip
        closest = max(ahead, key=lambda line: line.posted.placing or 0, default=None)
        return known or closest or self.others[0]

    def sheets_of(self, line: Line) -> Stored:
        """A rival's sheets: those of the line, else of the same rival on an earlier list."""
        if line.sheets:
            return line.sheets
        name = plain_name(line.posted.name)
        return next(
            (
                one.sheets
                for one in self.earlier
                if one.sheets and name and plain_name(one.posted.name) == name
            ),
            [],
        )


def rivals_of(box: Box) -> Rivals:
    """Everybody on the lists of a box's field; two queries."""
    entry = box.entry
    postings = list(
        Posting.objects.filter(contest=entry.contest_id, category=entry.category_id)
        .defer("text")
        .order_by("-posted_on", "-recorded_at", "-pk")
    )
    lines = _lines(postings)
    held = box.posted.posting_id if box.posted else None
    holding = next((one for one in postings if one.pk == held), None)
    own = lines.get(held, []) if held else []
    ours = next((line for line in own if line.posted.entry_id == entry.pk), None)
    others = [line for line in own if line is not ours and (line.posted.name or line.posted.number)]
    earlier = [line for pk, some in lines.items() if pk != held for line in some]
    return Rivals(holding, ours, tuple(_at_our_table_first(others, entry, ours)), tuple(earlier))


def _lines(postings: Iterable[Posting]) -> dict[UUID, list[Line]]:
    found: dict[UUID, list[Line]] = {one.pk: [] for one in postings}
    rows = FieldLine.objects.filter(posting__in=list(found)).order_by("order", "pk")
    names = ("pk", "posting_id", "sheets", *PostedLine._fields)
    for pk, posting_id, sheets, *values in rows.values_list(*names):
        found[posting_id].append(Line(pk, posting_id, sheets, PostedLine(*values)))
    return found


def our_tables(entry: Entry, ours: Line | None) -> set[str]:
    """The table that judged us, as the list or our sheets have it."""
    said = {sheet.table for sheet in entry.sheets.all()}
    return {name for name in said | ({ours.posted.table} if ours else set()) if name}


def _at_our_table_first(others: Sequence[Line], entry: Entry, ours: Line | None) -> list[Line]:
    """In the list's order, those whom the same judges marked before the others."""
    tables = our_tables(entry, ours)
    return sorted(others, key=lambda line: line.posted.table not in tables)


def line_words(line: Line, *, near: bool) -> str:
    """A rival as a choice: 2nd, Birch, 227; at our table."""
    one = line.posted
    place = ordinal(one.placing) if one.placing else opening(one.note or "no place")
    total = f", {brief(one.total)}" if one.total is not None else ""
    told = "; sheets typed" if line.sheets else ""
    return f"{place}, {name_of(line)}{total}{'; at our table' if near else ''}{told}"


def name_of(line: Line) -> str:
    return line.posted.name or f"number {line.posted.number}"


def entrant_of(line: Line, criteria: Sequence[Criterion]) -> Entrant:
    """A line with its numbers."""
    return entrants([line.posted], criteria)[0]


def plain_sums(
    one: Entrant, worth: Mapping[str, Decimal]
) -> tuple[dict[str, Decimal] | None, bool]:
    """
    A line's sums by criterion as points of its total, and whether they are certain to be.

    Where they add up to the total they are points; where only the weighted ones do, they were plain
    sums of marks. None where the list does not have every criterion.
    """
    sums: dict[str, Any] = dict(one.sums)
    if sums.keys() != worth.keys() or one.total is None:
        return None, False
    weighted = {key: value * worth[key] for key, value in sums.items()}
    for told in (sums, weighted):
        if sum(told.values(), Decimal(0)) == one.total:
            return told, True
    return sums, False
