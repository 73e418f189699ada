"""Our boxes with every judge's mark, ready to be played again: sheets, rules, and their field."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from functools import cached_property
from typing import Any
from uuid import UUID

from django.db.models import Prefetch, Q

from teamops.calc import scoring
from teamops.calc.placing import Field
from teamops.contests.models import Entry
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.days import chosen
from teamops.judging.models import Mark, Posting, Result, ScoreSheet
from teamops.judging.queries.field import PostedLine, entrants, lines_of_postings
from teamops.judging.queries.postings import day_words
from teamops.judging.reckon import sheet_labels
from teamops.judging.rounds import put_together
from teamops.judging.settling import settle
from teamops.rules.models import Criterion
from teamops.rules.records import rules_of
from teamops.teams.models import Team

LATEST = 12  # contests that are played again where nobody asks for more


@dataclass(frozen=True, slots=True)
class Posted:
    """The list that a box is held against: which it is, and the field as far as it tells."""

    posting_id: UUID
    title: str
    field: Field


@dataclass(frozen=True)  # without slots, which leave no room for what is worked out once
class Box:
    """
    One of our boxes as it was judged.

    Its entry has contest, category, rulebook with criteria, cook and result loaded. `rounds` say of
    which round each sheet is; `posted` is None where no list tells of its field.
    """

    entry: Entry
    rules: scoring.Rules
    sheets: tuple[scoring.Sheet, ...]
    rounds: tuple[str, ...]
    posted: Posted | None

    def total(self, sheets: Sequence[scoring.Sheet]) -> scoring.Result:
        """What sheets like these come to here: rounds put together, lateness taken off."""
        result, _ = put_together(self.rounds, sheets, self.rules)
        return replace(result, total=settle(self.entry, result.total).total)

    @cached_property
    def before(self) -> scoring.Result:
        """What the sheets come to as they are."""
        return self.total(self.sheets)

    @property
    def own(self) -> Decimal | None:
        """The total that was held against the field: the posted one, else ours."""
        posted = self.entry.official_total
        return self.before.total if posted is None else posted

    def printed(self, after: Decimal) -> Decimal:
        """
        A total of ours as it would have been posted.

        Rounded where the posted one is ours rounded; where the two differ otherwise, what is gained
        is put on the posted one.
        """
        ours, posted = self.before.total, self.entry.official_total
        if ours is None or posted is None or ours == posted:
            return after
        places = posted.normalize().as_tuple().exponent
        if isinstance(places, int) and places < 0:
            step = Decimal(1).scaleb(places)
            if ours.quantize(step, ROUND_HALF_UP) == posted:
                return after.quantize(step, ROUND_HALF_UP)
        return scoring.exact_sum([posted, after, -ours])


def marked_boxes(team: Team, selection: Selection) -> list[tuple[UUID, UUID]]:
    """
    Contest and entry of each of our boxes of a selection with marks and a total, latest first.

    A contest's exception to the chosen rulebook counts too: its boxes go by their own rules. One
    query.
    """
    book = Q(entry__rulebook=selection.rulebook_id)
    book |= Q(entry__rulebook__follows=selection.rulebook_id) & ~Q(
        entry__rulebook__exception_why=""
    )
    rows = (
        Result.objects.for_team(team)
        .with_marks()
        .filter(book, chosen(selection, "entry__"), total__isnull=False)
        .filter(entry__disqualified=False)
        .order_by("-entry__contest__held_on", "-entry__contest__name", "entry__contest", "pk")
        .values_list("entry__contest", "pk")
    )
    return [row for row in rows if str(row[0]) not in selection.left_out]


def latest(boxes: Sequence[tuple[UUID, UUID]], most: int | None = LATEST) -> list[UUID]:
    """The entries of the latest contests, of all where `most` is None."""
    contests = list(dict.fromkeys(contest for contest, _ in boxes))[:most]
    kept = set(contests)
    return [entry for contest, entry in boxes if contest in kept]


def load_boxes(team: Team, entries: Sequence[UUID]) -> list[Box]:
    """These boxes with their marks and fields, in the order asked for; six queries."""
    criteria = Prefetch("rulebook__criteria", Criterion.objects.order_by("order", "pk"))
    sheets = Prefetch("sheets", ScoreSheet.objects.order_by("position", "pk"))
    found = {
        row.pk: row
        for row in Entry.objects.for_team(team)
        .filter(pk__in=entries)
        .select_related("contest", "category", "rulebook", "cook_of_record", "result")
        .prefetch_related(criteria, sheets)
        .order_by()
    }
    rows = [found[pk] for pk in entries if pk in found]
    marks = _marks(found)
    postings = _postings(rows)
    lines = lines_of_postings([one.pk for some in postings.values() for one in some])
    return [_box(entry, marks, postings, lines) for entry in rows]


def _marks(entries: Iterable[UUID]) -> dict[UUID, dict[int, Decimal | None]]:
    """Marks by sheet and criterion, as plain values: there may be thousands."""
    rows = Mark.objects.filter(sheet__entry__in=list(entries)).order_by("pk")
    marks: dict[UUID, dict[int, Decimal | None]] = {}
    for sheet, criterion, points in rows.values_list("sheet", "criterion", "points"):
        marks.setdefault(sheet, {})[criterion] = points
    return marks


def _postings(entries: Sequence[Entry]) -> dict[tuple[UUID, UUID], list[Posting]]:
    """The lists by contest and category, the newest first."""
    rows = Posting.objects.filter(contest__in={entry.contest_id for entry in entries})
    found: dict[tuple[UUID, UUID], list[Posting]] = {}
    for row in rows.defer("text").order_by("-posted_on", "-recorded_at", "-pk"):
        found.setdefault((row.contest_id, row.category_id), []).append(row)
    return found


def _box(
    entry: Entry,
    marks: Mapping[UUID, dict[int, Decimal | None]],
    postings: Mapping[tuple[UUID, UUID], list[Posting]],
    lines: Mapping[Any, list[PostedLine]],
) -> Box:
    criteria = list(entry.rulebook.criteria.all())
    rules = rules_of(entry.rulebook, criteria)
    # the record keeps the rulebook's order, so a criterion is known by its place, whatever its key
    keys = {row.pk: one.key for row, one in zip(criteria, rules.criteria, strict=True)}
    stored = list(entry.sheets.all())
    sheets = [
        scoring.Sheet(
            label=label,
            marks={
                keys.get(pk, f"criterion {pk}"): points
                for pk, points in marks.get(sheet.pk, {}).items()
            },
            given_total=sheet.given_total,
            panel=sheet.panel,
        )
        for label, sheet in zip(sheet_labels(stored), stored, strict=True)
    ]
    lists = [(one, lines.get(one.pk, [])) for one in postings.get(_whose(entry), [])]
    rounds = tuple(sheet.round for sheet in stored)
    return Box(entry, rules, tuple(sheets), rounds, _posted(entry, criteria, lists))


def _whose(entry: Entry) -> tuple[UUID, UUID]:
    return entry.contest_id, entry.category_id


def _posted(
    entry: Entry, criteria: Sequence[Criterion], lists: Sequence[tuple[Posting, list[PostedLine]]]
) -> Posted | None:
    """The list that tells of this box's field: the newest with our line that has our total."""
    if not lists:
        return None
    own = entry.official_total
    fits = [
        (any(line.entry_id == entry.pk for line in lines),
         any(line.entry_id == entry.pk and line.total == own for line in lines))
        for _, lines in lists
    ]  # fmt: skip
    index = max(range(len(lists)), key=lambda place: (*reversed(fits[place]), -place))
    posting, lines = lists[index]
    return Posted(posting.pk, day_words(posting), field_of(entry, criteria, lines))


def posted_field(entry: Entry, posting: Posting) -> Field:
    """The field of a posted list as seen from this box of ours; two queries.

    The entry has its rulebook and its result loaded.
    """
    lines = lines_of_postings([posting.pk]).get(posting.pk, [])
    return field_of(entry, list(entry.rulebook.criteria.all()), lines)


def field_of(entry: Entry, criteria: Sequence[Criterion], lines: Sequence[PostedLine]) -> Field:
    """Everybody else on a list. No query."""
    ours = next((line for line in lines if line.entry_id == entry.pk), None)
    if ours is None:
        alike = [line for line in lines if _looks_like(line, entry)]
        ours = alike[0] if len(alike) == 1 else None
    others = [line for line in lines if line is not ours]
    posted = entry.official_total
    return Field(
        others=tuple(entrants(others, criteria)),
        entries=max(entry.field_size or 0, len(others) + 1, *_places(entry, lines)),
        place=entry.placing or (ours.placing if ours else None),
        total=posted if posted is not None else entry.result.total,
    )


def _places(entry: Entry, lines: Sequence[PostedLine]) -> Iterator[int]:
    """The places that are known: no field is smaller than its last one, however few are listed."""
    yield entry.placing or 0
    for line in lines:
        yield line.placing or 0


def _looks_like(line: PostedLine, entry: Entry) -> bool:
    """Whether a line that nobody said is ours has our place and our total."""
    return (
        entry.placing is not None
        and entry.official_total is not None
        and (line.placing, line.total) == (entry.placing, entry.official_total)
    )
