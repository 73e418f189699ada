"""One rulebook as a cook reads it."""

from collections.abc import Sequence
from dataclasses import dataclass

from teamops.rules.models import Criterion, Rulebook
from teamops.rules.queries.differences import Difference, differences
from teamops.rules.queries.example import WorkedExample, example_of
from teamops.rules.queries.words import (
    Fact,
    box_facts,
    full_box,
    scale_words,
    tie_words,
    total_words,
    valid_words,
)
from teamops.rules.records import rules_of
from teamops.teams.models import Team


@dataclass(frozen=True, slots=True)
class Row:
    """A criterion as the page shows it."""

    name: str
    scale: str
    weight: str
    panel: str


@dataclass(frozen=True, slots=True)
class RulebookPage:
    """A rulebook, its family, and how it differs from what it follows; words ready to print."""

    rulebook: Rulebook
    rows: tuple[Row, ...]
    full_box: str
    total: str
    ties: tuple[str, ...]
    more: tuple[Fact, ...]
    day: tuple[Fact, ...]
    example: WorkedExample | None
    follows: Rulebook | None
    changed: tuple[Difference, ...]
    editions: tuple[Rulebook, ...]
    exceptions: tuple[Rulebook, ...]

    @property
    def has_weights(self) -> bool:
        return any(row.weight != "1" for row in self.rows)

    @property
    def has_panels(self) -> bool:
        return any(row.panel for row in self.rows)


def rulebook_page(rulebook: Rulebook, team: Team | None = None) -> RulebookPage:
    """A rulebook with its arithmetic in sentences; three queries, one more where it follows one.

    The family's other editions and exceptions are those that `team` may see.
    """
    return book_page(rulebook, list(rulebook.criteria.all()), _family(rulebook, team))


def book_page(
    rulebook: Rulebook, criteria: Sequence[Criterion], family: Sequence[Rulebook] = ()
) -> RulebookPage:
    """A rulebook that may not be stored yet, with these criteria; no query."""
    rules = rules_of(rulebook, criteria) if criteria else None
    follows = next((book for book in family if book.pk == rulebook.follows_id), None)
    return RulebookPage(
        rulebook=rulebook,
        rows=tuple(map(_row, criteria)),
        full_box=full_box(rules) if rules else "not set",
        total=total_words(rulebook),
        ties=tie_words(rulebook, criteria),
        more=tuple(_more(rulebook)),
        day=box_facts(rulebook),
        example=example_of(rules) if rules else None,
        follows=follows,
        changed=differences(follows, rulebook, criteria) if follows else (),
        editions=tuple(book for book in family if not book.is_exception),
        exceptions=tuple(
            book for book in family if book.is_exception and book.follows_id == rulebook.pk
        ),
    )


def _family(rulebook: Rulebook, team: Team | None) -> list[Rulebook]:
    """All books of its family but itself, newest edition last; two queries."""
    rows = Rulebook.objects.for_team(team or rulebook.team).filter(family=rulebook.family)
    return list(rows.exclude(pk=rulebook.pk).prefetch_related("criteria"))


def _row(criterion: Criterion) -> Row:
    weight = f"{criterion.weight.normalize():f}"
    return Row(criterion.name, scale_words(criterion), weight, criterion.panel)


def _more(rulebook: Rulebook) -> list[Fact]:
    """The rest of the arithmetic, without what is not said or as usual."""
    dense, added = rulebook.get_place_method_display(), rulebook.get_rounds_display()
    facts = [
        Fact("Least sheets", "" if rulebook.sheets_least == 1 else str(rulebook.sheets_least)),
        Fact("Penalty mark", _number(rulebook.penalty_mark)),
        Fact("Judges within", _number(rulebook.max_spread, " points")),
        Fact("Who wins", "" if rulebook.direction == "high" else "The fewest points"),
        Fact("Shared places", "" if rulebook.place_method == "skip" else dense),
        Fact("Several rounds", "" if rulebook.rounds == "last" else added),
        Fact("Valid", valid_words(rulebook)),
        Fact("Source", rulebook.source),
    ]
    return [fact for fact in facts if fact.words]


def _number(value: object, unit: str = "") -> str:
    return "" if value is None else f"{value.normalize():f}{unit}"  # type: ignore[attr-defined]
