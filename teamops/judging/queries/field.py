"""From stored lists to what `calc.field` compares and puts in order."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from django.db.models import prefetch_related_objects

from teamops.calc import scoring
from teamops.calc.field import Entrant
from teamops.calc.reading import criterion_named, out_of, plain_words
from teamops.contests.models import Entry
from teamops.judging.models import FieldLine
from teamops.judging.reckon import reckon
from teamops.rules.models import Criterion
from teamops.rules.records import rules_of

COLUMNS = (
    "posting_id", "placing", "name", "number", "table", "total", "parts", "note", "entry_id",
)  # fmt: skip


def lines_of_postings(postings: Iterable[Any]) -> dict[Any, list[FieldLine]]:
    """The lines of several lists by the list's id, in their order; one query."""
    lines: dict[Any, list[FieldLine]] = {}
    rows = FieldLine.objects.filter(posting__in=postings).order_by("posting", "order", "pk")
    for line in rows.only(*(name for name in COLUMNS)):
        lines.setdefault(line.posting_id, []).append(line)
    return lines


def entrants(
    lines: Sequence[FieldLine],
    criteria: Sequence[Criterion] = (),
    results: Mapping[Any, scoring.Result] | None = None,
) -> list[Entrant]:
    """A list's lines with their numbers; `results` are what our own entries' sheets come to."""
    keys = {plain_words(one.name): one.key for one in criteria}
    return [
        Entrant(
            label=line.name or (f"number {line.number}" if line.number else f"line {order}"),
            placing=line.placing,
            total=line.total,
            number=line.number,
            out=out_of(line.note),
            sums=_sums(line.parts, keys),
            parts=_numbers(line.parts),
            result=(results or {}).get(line.entry_id),
        )
        for order, line in enumerate(lines, 1)
    ]


def _numbers(parts: Mapping[str, str]) -> tuple[Decimal, ...]:
    found = (_number(value) for value in parts.values())
    return tuple(number for number in found if number is not None)


def _sums(parts: Mapping[str, str], keys: Mapping[str, str]) -> dict[str, Decimal]:
    found = {criterion_named(name, keys): _number(value) for name, value in parts.items()}
    return {keys[name]: value for name, value in found.items() if name and value is not None}


def _number(text: str) -> Decimal | None:
    """A part as it is stored: a plain number, or other words."""
    plain = text.removeprefix("-").replace(".", "", 1)
    return Decimal(text) if plain.isascii() and plain.isdigit() else None


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
