"""From stored lists to what `calc.field` compares and puts in order."""

import re
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any, NamedTuple

from django.db.models import prefetch_related_objects

from teamops.calc import scoring
from teamops.calc.field import Entrant
from teamops.calc.reading import criterion_named, out_of, plain_words
from teamops.contests.models import Entry
from teamops.judging.models import FieldLine
from teamops.judging.reckon import reckon
from teamops.rules.models import Criterion
from teamops.rules.records import rules_of

NUMBER = re.compile(r"-?\d+(?:\.\d+)?", re.ASCII)


class PostedLine(NamedTuple):
    """A stored line as it is read: no row of its own, since a list may have 2,000."""

    placing: int | None
    name: str
    number: str
    table: str
    total: Decimal | None
    parts: dict[str, str]
    note: str
    entry_id: Any


def lines_of_postings(postings: Iterable[Any]) -> dict[Any, list[PostedLine]]:
    """The lines of several lists by the list's id, in their order; one query."""
    lines: dict[Any, list[PostedLine]] = {}
    rows = FieldLine.objects.filter(posting__in=postings).order_by("posting", "order", "pk")
    for posting_id, *values in rows.values_list("posting_id", *PostedLine._fields):
        lines.setdefault(posting_id, []).append(PostedLine(*values))
    return lines


def entrants(
    lines: Sequence[PostedLine],
    criteria: Sequence[Criterion] = (),
    results: Mapping[Any, scoring.Result] | None = None,
) -> list[Entrant]:
    """A list's lines with their numbers; `results` are what our own entries' sheets come to."""
    keys = _keys(lines, criteria)
    return [
        Entrant(
            label=line.name or (f"number {line.number}" if line.number else f"line {order}"),
            placing=line.placing,
            total=line.total,
            number=line.number,
            out=out_of(line.note) if line.note else "",
            sums=_sums(line.parts, keys) if keys else {},
            parts=_numbers(line.parts) if line.parts else (),
            result=(results or {}).get(line.entry_id),
        )
        for order, line in enumerate(lines, 1)
    ]


def _keys(lines: Sequence[PostedLine], criteria: Sequence[Criterion]) -> dict[str, str]:
    """Which criterion each heading of the parts names, by its key."""
    names = {plain_words(one.name): one.key for one in criteria}
    headings = {heading for line in lines for heading in line.parts}
    named = {heading: criterion_named(heading, names) for heading in headings if names}
    return {heading: names[name] for heading, name in named.items() if name}


def _numbers(parts: Mapping[str, str]) -> tuple[Decimal, ...]:
    found = (_number(value) for value in parts.values())
    return tuple(number for number in found if number is not None)


def _sums(parts: Mapping[str, str], keys: Mapping[str, str]) -> dict[str, Decimal]:
    found = ((keys[name], _number(value)) for name, value in parts.items() if name in keys)
    return {key: value for key, value in found if value is not None}


def _number(text: str) -> Decimal | None:
    """A part as it is stored: a plain number, or other words."""
    return Decimal(text) if NUMBER.fullmatch(text) else None


def rules_for(entries: Sequence[Entry]) -> tuple[scoring.Rules | None, tuple[Criterion, ...]]:
    """The rules of the category, by the first entry whose rulebook has any; one query."""
    books = [entry.rulebook for entry in entries]
    prefetch_related_objects(books, "criteria")
    for book in books:
        criteria = tuple(book.criteria.all())
        if criteria:
            return rules_of(book), criteria
    return None, ()


def our_results(entries: Sequence[Entry]) -> dict[Any, scoring.Result]:
    """What our sheets come to, entry by entry; two queries however many there are."""
    prefetch_related_objects(list(entries), "sheets__marks__criterion")
    found = {}
    for entry in entries:
        sheets = list(entry.sheets.all())
        total = reckon(entry.rulebook, [(one, list(one.marks.all())) for one in sheets]).total
        if sheets and total is not None:
            found[entry.pk] = total
    return found
