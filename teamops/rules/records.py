"""From a stored rulebook to the record that `calc.scoring` reckons with."""

from collections.abc import Iterable

from teamops.calc.scoring import (
    Aggregate,
    Criterion,
    Direction,
    DropScope,
    Lateness,
    LateRule,
    MissingSheet,
    Panel,
    PlaceMethod,
    Rounds,
    RoundWhere,
    Rules,
)
from teamops.rules.models import Criterion as Stored
from teamops.rules.models import Rulebook


def rules_of(rulebook: Rulebook, criteria: Iterable[Stored] | None = None) -> Rules:
    """The arithmetic of one rulebook; one query, none where its criteria are prefetched or given.

    Refuses (ValueError) one without criteria.
    """
    rows = rulebook.criteria.all() if criteria is None else criteria
    return Rules(
        criteria=tuple(
            Criterion(
                key=row.key,
                name=row.name,
                weight=row.weight,
                least=row.least,
                most=row.most,
                step=row.step,
                panel=row.panel,
            )
            for row in rows
        ),
        sheets_expected=rulebook.sheets_expected,
        sheets_least=rulebook.sheets_least,
        missing_sheet=MissingSheet(rulebook.missing_sheet),
        drop_scope=DropScope(rulebook.drop_scope),
        drop_low=rulebook.drop_low,
        drop_high=rulebook.drop_high,
        reject_outlier=rulebook.outlier_distance,
        aggregate=Aggregate(rulebook.aggregate),
        factor=rulebook.factor,
        rounding_places=rulebook.round_places,
        round_where=RoundWhere(rulebook.round_where),
        tie_break=tuple(rulebook.tie_break),
        direction=Direction(rulebook.direction),
        place_method=PlaceMethod(rulebook.place_method),
        rounds=Rounds(rulebook.rounds),
        penalty_mark=rulebook.penalty_mark,
        max_spread=rulebook.max_spread,
        panels=tuple(
            Panel(panel["name"], panel["expected"], panel["least"]) for panel in rulebook.panels
        ),
    )


def lateness_of(rulebook: Rulebook) -> Lateness:
    """What one rulebook does with late boxes: give it to `calc.scoring.late_outcome`."""
    return Lateness(LateRule(rulebook.late), rulebook.late_grace_seconds or 0, rulebook.late_points)
