"""Stored results: what pages read instead of marks."""

from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Prefetch

from teamops.contests.models import Entry
from teamops.judging.models import CriterionResult, Result
from teamops.teams.models import Team


@dataclass(frozen=True, slots=True)
class CriterionLine:
    """
    One criterion's account in one result.

    `most`, `earned` and `lost` are in points of the total and over the sheets that count; None
    where they cannot be told. `mean` is in marks, over the sheets of all `judges` judges, dropped
    ones too. `least`, `top` and `step` are the scale, in marks; a mark weighs `weight` points.
    """

    criterion_id: int
    key: str
    name: str
    panel: str
    order: int
    weight: Decimal
    least: Decimal | None
    top: Decimal | None
    step: Decimal | None
    judges: int
    mean: Decimal | None
    most: Decimal | None
    earned: Decimal | None
    lost: Decimal | None


@dataclass(frozen=True, slots=True)
class EntryResult:
    """
    What is known of one entry's scores; its contest, category and rulebook are loaded.

    What the papers gave less of is None: a placing alone has no points, a posted total alone has
    no `ours`, totals by judge have no criteria.
    """

    entry: Entry
    result: Result
    criteria: tuple[CriterionLine, ...]

    @property
    def basis(self) -> str:
        """One of `Result.Basis`: what the papers gave."""
        return self.result.basis

    @property
    def ours(self) -> Decimal | None:
        """What the papers add up to under the rulebook."""
        return self.result.total

    @property
    def posted(self) -> Decimal | None:
        """What the organiser posted."""
        return self.entry.official_total

    @property
    def points(self) -> Decimal | None:
        """The total to show: the posted one, else ours."""
        return self.ours if self.posted is None else self.posted

    @property
    def most(self) -> Decimal | None:
        """What a full box would have earned."""
        return self.result.most

    @property
    def has_losses(self) -> bool:
        """Whether every criterion's points lost are known."""
        return bool(self.criteria) and all(line.lost is not None for line in self.criteria)


def season_results(team: Team) -> list[EntryResult]:
    """Every entry of the team that has scores, practice included, oldest first; two queries."""
    rows = _scored().filter(entry__contest__team=team)
    rows = rows.order_by(
        "entry__contest__held_on",
        "entry__contest__name",
        "entry__category__ancillary",
        "entry__category__name",
        "pk",
    )
    return [_entry_result(row) for row in rows]


def entry_result(entry: Entry) -> EntryResult | None:
    """One entry's stored scores, if it has any; two queries."""
    row = _scored().filter(entry=entry).first()
    return None if row is None else _entry_result(row)


def _scored() -> "Result.objects.QuerySet":  # type: ignore[name-defined]
    lines = CriterionResult.objects.select_related("criterion").order_by(
        "criterion__order", "criterion_id"
    )
    return (
        Result.objects.exclude(basis=Result.Basis.NONE)
        .select_related("entry__contest", "entry__category", "entry__rulebook")
        .prefetch_related(Prefetch("criteria", lines))
    )


def _entry_result(row: Result) -> EntryResult:
    return EntryResult(row.entry, row, tuple(_line(line) for line in row.criteria.all()))


def _line(row: CriterionResult) -> CriterionLine:
    criterion = row.criterion
    return CriterionLine(
        criterion_id=criterion.pk,
        key=criterion.key,
        name=criterion.name,
        panel=criterion.panel,
        order=criterion.order,
        weight=criterion.weight,
        least=criterion.least,
        top=criterion.most,
        step=criterion.step,
        judges=row.judges,
        mean=row.mean,
        most=row.most,
        earned=row.earned,
        lost=row.lost,
    )
