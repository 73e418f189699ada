"""What goes into a total, and what comes out: sheets, results, flags."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from teamops.calc.scoring.rules import EXACT, ZERO, check_decimal, exact_sum


class FlagKind(StrEnum):
    """What is odd about a mark, a sheet or a table."""

    BLANK = "blank"
    OFF_SCALE = "off_scale"
    BETWEEN_STEPS = "between_steps"
    PENALTY = "penalty"
    UNKNOWN_CRITERION = "unknown_criterion"
    TOTAL_ONLY = "total_only"  # the paper gives the judge's total and not the marks
    TOTAL_DIFFERS = "total_differs"  # the paper's total is not what its marks add up to
    EMPTY_SHEET = "empty_sheet"
    TOO_MANY_SHEETS = "too_many_sheets"
    TOO_FEW_SHEETS = "too_few_sheets"
    FILLED_SHEET = "filled_sheet"  # the average stands in for a missing sheet
    NO_DROP = "no_drop"  # too few sheets left to drop any, or all of them would go
    TIED_DROP = "tied_drop"  # which of several equal sheets was dropped
    WIDE_SPREAD = "wide_spread"


@dataclass(frozen=True, slots=True)
class Flag:
    """Something a cook should look at, in plain words; it never stops the arithmetic.

    `sheet` is the sheet's place in what was given (0 first), `criterion` a key; None where the
    flag is about the whole table.
    """

    kind: FlagKind
    words: str
    sheet: int | None = None
    criterion: str | None = None


@dataclass(frozen=True, slots=True)
class Sheet:
    """One judge's sheet as the paper has it.

    `label` is how a person names it ("judge 3"). A blank cell is None or absent. `given_total` is
    the judge's total as printed: needed where the paper gives no marks, checked where it does. In
    a rulebook of one panel, `panel` is not looked at. [points]
    """

    label: str
    marks: Mapping[str, Decimal | None]
    given_total: Decimal | None = None
    panel: str = ""
    head_judge: bool = False

    def __post_init__(self) -> None:
        """Refuse floats (TypeError) and what is no number (ValueError)."""
        check_decimal(self.given_total, f"{self.label}: given total")
        for key, mark in self.marks.items():
            check_decimal(mark, f"{self.label}: {key}")


class Standing(StrEnum):
    """Whether a sheet counts, or why not."""

    COUNTS = "counts"
    DROPPED_LOW = "dropped_low"
    DROPPED_HIGH = "dropped_high"
    OUTLIER = "outlier"
    NOT_CLOSEST = "not_closest"
    NOT_MIDDLE = "not_middle"
    EMPTY = "empty"


@dataclass(frozen=True, slots=True)
class SheetResult:
    """One sheet's part in the total, in points; `why_not` is empty where it counts.

    `filled` is the average standing in for a sheet that never came. `total` is weighted, before
    the rulebook's factor; None for an empty sheet. `complete` means every mark is there.
    """

    label: str
    total: Decimal | None
    standing: Standing
    why_not: str = ""
    complete: bool = True
    filled: bool = False
    panel: str = ""

    @property
    def counts(self) -> bool:
        """Whether the sheet is in the total."""
        return self.standing is Standing.COUNTS


@dataclass(frozen=True, slots=True)
class CriterionResult:
    """One criterion's part in the total, in points.

    `kept_sum` and `all_sum` add up plain marks, without weight: what tie-breaks compare. `most`,
    `earned` and `lost` are weighted and in the total's own points, most = earned + lost; None
    where they cannot be told (see `Result.why_no_losses`). `dropped` names the sheets whose mark
    does not count. Where only part of the marks is known, `earned` is what those gave.
    """

    key: str
    name: str
    weight: Decimal
    panel: str
    all_marks: tuple[Decimal, ...]
    kept_marks: tuple[Decimal, ...]
    kept_sum: Decimal
    all_sum: Decimal
    most: Decimal | None
    earned: Decimal | None
    lost: Decimal | None
    dropped: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Result:
    """What a table of marks comes to.

    `total` is None only where it cannot be told, and then `why_no_total` says why. `most` is the
    most that the sheets which count could have given; None where the lowest total wins or the
    rulebook does not say the highest mark. `complete` means that the
    paper is: as many sheets as expected, each with all its marks or its printed total. Where losses
    are told, their sum plus `lost_to_rounding` is exactly `most - total`; else `why_no_losses` says
    why not. `sheets` are in the order given, filled ones last; `criteria` in print order. [points]
    """

    total: Decimal | None
    why_no_total: str
    most: Decimal | None
    sheets: tuple[SheetResult, ...]
    criteria: tuple[CriterionResult, ...]
    flags: tuple[Flag, ...]
    complete: bool
    why_no_losses: str = ""
    lost_to_rounding: Decimal = ZERO
    head_judge_total: Decimal | None = None

    @property
    def lost(self) -> Decimal | None:
        """All points lost, or None where total or most cannot be told."""
        if self.total is None or self.most is None:
            return None
        return EXACT.subtract(self.most, self.total)

    @property
    def losses(self) -> dict[str, Decimal] | None:
        """Points lost by criterion key, or None where they cannot be told."""
        lost = {row.key: row.lost for row in self.criteria if row.lost is not None}
        return lost if len(lost) == len(self.criteria) else None

    @property
    def dropped_total(self) -> Decimal:
        """What the dropped sheets add up to, before the rulebook's factor."""
        gone = (Standing.DROPPED_LOW, Standing.DROPPED_HIGH)
        return exact_sum(s.total for s in self.sheets if s.standing in gone and s.total is not None)
