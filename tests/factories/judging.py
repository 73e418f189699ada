"""Score sheets for tests: rows made directly, or a whole envelope saved as a cook saves it."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any
from uuid import uuid4

import factory
from django.db.models import QuerySet
from django.utils import timezone

from teamops.contests.actions import mark_cooked
from teamops.contests.models import Entry
from teamops.judging.actions import TypedSheet, record_scores
from teamops.judging.models import (
    Change,
    CriterionResult,
    FieldLine,
    Mark,
    Posting,
    Result,
    ScoreSheet,
)
from teamops.judging.worked import work_out_of
from teamops.teams.models import User
from tests.factories.contests import CategoryFactory, ContestFactory, EntryFactory
from tests.factories.teams import TeamFactory, UserFactory

Points = Decimal | str | float | None
# As they are where no test watches over them: `written_entry` leaves no history, and says so.
CREATE, UPDATE = QuerySet.bulk_create, QuerySet.update


class ScoreSheetFactory(factory.django.DjangoModelFactory):
    """A stored sheet; `marks=[9, 8.5, None, ...]` gives it marks in the rulebook's order."""

    class Meta:
        model = ScoreSheet
        skip_postgeneration_save = True

    entry = factory.SubFactory(EntryFactory)
    position = factory.LazyAttribute(lambda row: row.entry.sheets.count() + 1)
    recorded_by = factory.SubFactory(UserFactory)

    @factory.post_generation
    def marks(self, create: bool, extracted: Sequence[Points] | None, **kwargs: object) -> None:
        for criterion, value in zip(
            self.entry.rulebook.criteria.all(), extracted or [], strict=False
        ):
            Mark.objects.create(sheet=self, criterion=criterion, points=points(value))


class ChangeFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Change

    team = factory.SubFactory(TeamFactory)
    what = factory.Sequence(lambda n: f"Change {n}")
    starts_on = "2025-04-01"


class PostingFactory(factory.django.DjangoModelFactory):
    """A posted list; `rows=[(1, "Smoke Wagon", "190.5"), ...]` gives it lines."""

    class Meta:
        model = Posting
        skip_postgeneration_save = True

    contest = factory.SubFactory(ContestFactory, past=True)
    category = factory.SubFactory(CategoryFactory, team=factory.SelfAttribute("..contest.team"))
    posted_on = factory.LazyAttribute(lambda row: row.contest.held_on)
    recorded_by = factory.SubFactory(UserFactory)

    @factory.post_generation
    def rows(self, create: bool, extracted: Sequence[Any] | None, **kwargs: object) -> None:
        for order, (placing, name, total, *rest) in enumerate(extracted or [], 1):
            FieldLine.objects.create(
                posting=self,
                order=order,
                placing=placing,
                name=name,
                total=points(total),
                **(rest[0] if rest else {}),
            )


def points(value: Points) -> Decimal | None:
    return None if value is None else Decimal(str(value))


def typed_table(entry: Entry, table: Sequence[Sequence[Points]]) -> list[TypedSheet]:
    """A row of marks a judge, in the rulebook's order, as the action takes them."""
    keys = list(entry.rulebook.criteria.values_list("pk", flat=True))
    return [TypedSheet(uuid4(), dict(zip(keys, map(points, row), strict=False))) for row in table]


def scored_entry(
    entry: Entry | None = None,
    table: Sequence[Sequence[Points]] = (),
    *,
    by: User | None = None,
    **official: Any,
) -> Entry:
    """An entry whose envelope was saved by the action: `table` has a row of marks a judge."""
    entry = entry or EntryFactory(contest__past=True)
    result = Result.objects.filter(entry=entry).first()
    record_scores(
        entry=entry,
        seen=result.version if result else 0,
        sheets=typed_table(entry, table),
        official=official,
        by=by or UserFactory(),
    )
    return Entry.objects.select_related("contest", "category", "rulebook", "result").get(
        pk=entry.pk
    )


def written_entry(
    entry: Entry, table: Sequence[Sequence[Points]], *, by: User | None = None, **official: Any
) -> Entry:
    """
    What `scored_entry` leaves, written straight into the tables: without history, and faster.

    For pages that read many contests. What an organiser posted goes the action's way.
    """
    if official or not any(cell is not None for row in table for cell in row):
        return scored_entry(entry, table, by=by, **official)
    by = by or User.objects.filter(email=TYPIST).first() or UserFactory(email=TYPIST)
    criteria = list(entry.rulebook.criteria.all())
    sheets = [
        ScoreSheet(entry=entry, position=position, recorded_by=by)
        for position in range(1, len(table) + 1)
    ]
    papers = [
        (
            sheet,
            [
                Mark(sheet=sheet, criterion=criterion, points=points(cell))
                for criterion, cell in zip(criteria, row, strict=False)
            ],
        )
        for sheet, row in zip(sheets, table, strict=True)
    ]
    worked = work_out_of(entry, papers, {})
    now = timezone.now()
    result = Result(
        entry=entry, version=1, saved_at=now, scored_at=now, changed_by=by, **worked.columns
    )
    CREATE(ScoreSheet.objects.all(), sheets)
    CREATE(Mark.objects.all(), [mark for _, marks in papers for mark in marks])
    CREATE(Result.objects.all(), [result])
    lines = worked.lines.items()
    CREATE(
        CriterionResult.objects.all(),
        [CriterionResult(result=result, criterion_id=key, **values) for key, values in lines],
    )
    entry.rulebook.freeze()
    UPDATE(Entry.objects.filter(pk=entry.pk), marked_at=now)
    mark_cooked(contest=entry.contest, by=by)
    return Entry.objects.select_related("contest", "category", "rulebook", "result").get(
        pk=entry.pk
    )


TYPIST = "typist@example.org"
