"""The rules record: a rulebook's arithmetic as data, so that no contest needs code of its own."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal
from enum import StrEnum
from functools import cached_property

EXACT = Context(prec=60, rounding=ROUND_HALF_UP)  # wide enough that only a division ever rounds
ONE = Decimal(1)
ZERO = Decimal(0)
# Results are kept to 24 places: 28 digits below 10,000 points, Python's own decimal width, so that
# a caller's plain additions stay exact. The working behind them has 60 digits.
PLACES = 24
FINEST = ONE.scaleb(-PLACES)


class MissingSheet(StrEnum):
    """What the rulebook does when a judge's sheet never came."""

    NONE = "none"  # the sheets that came are all there is
    AVERAGE_REMAINING = "average_remaining"  # fill in each criterion's average, before dropping
    REFUSE = "refuse"  # no total until every sheet is in


class DropScope(StrEnum):
    """What the drop rule takes away: nothing, whole sheets, or marks within each criterion."""

    NONE = "none"
    SHEET = "sheet"
    CRITERION = "criterion"


class Aggregate(StrEnum):
    """How what counts becomes the total."""

    SUM = "sum"
    MEAN = "mean"
    MEDIAN = "median"
    CLOSEST_PAIR = "closest_pair"  # 2: mean; 3: the two closest; 4 or more: without high and low
    RANK_SUM = "rank_sum"  # the marks are placings, added up


class RoundWhere(StrEnum):
    """The one place where the rulebook rounds."""

    DISPLAY = "display"  # only what is printed
    SHEET = "sheet"  # each sheet's total
    TOTAL = "total"  # the entry's total


class Direction(StrEnum):
    """Which end of the totals wins."""

    HIGH = "high"
    LOW = "low"


class PlaceMethod(StrEnum):
    """How shared places are numbered."""

    SKIP = "skip"  # 1-2-2-4
    DENSE = "dense"  # 1-2-2-3


class Rounds(StrEnum):
    """How a box that was judged more than once is totalled."""

    LAST = "last"  # the last round alone decides
    ADD = "add"  # the rounds are added up


@dataclass(frozen=True, slots=True)
class Criterion:
    """One column of the score sheet: its weight and its scale, in points.

    `least`, `most` and `step` may be None where the sheet does not say: nothing is flagged then,
    and without a `most` no points are called lost. `panel` names the judges who mark it.
    """

    key: str
    name: str
    weight: Decimal = ONE
    least: Decimal | None = None
    most: Decimal | None = None
    step: Decimal | None = None
    panel: str = ""

    def __post_init__(self) -> None:
        """Refuse (TypeError) floats, and (ValueError) a scale upside down or a step of nothing."""
        for name in ("weight", "least", "most", "step"):
            check_decimal(getattr(self, name), f"{self.key}: {name}")
        if self.least is not None and self.most is not None and self.least > self.most:
            raise ValueError(f"{self.key}: least {self.least} is above most {self.most}")
        if self.step is not None and self.step <= 0:
            raise ValueError(f"{self.key}: step must be above 0, got {self.step}")


@dataclass(frozen=True, slots=True)
class Panel:
    """A group of judges with a sheet of its own, where a rulebook has more than one."""

    key: str
    sheets_expected: int
    sheets_least: int = 1


@dataclass(frozen=True)  # without slots, which leave no room for what is worked out once
class Rules:
    """A rulebook's arithmetic. Criteria are in print order.

    `panels` is only needed where panels differ in their number of sheets; any panel not listed
    there expects `sheets_expected`. The panels' totals are added.

    Tie-break steps, tried in order: `sum:<criterion>:kept` or `:all`, `dropped_total`,
    `count_of:<mark>` (kept marks; `count_of:<mark>:all` for all), `head_judge`, `shared`, `draw`.

    `rounding_places` None means not rounded anywhere. `max_spread` only warns. [points]
    """

    criteria: tuple[Criterion, ...]
    sheets_expected: int = 5
    sheets_least: int = 1
    missing_sheet: MissingSheet = MissingSheet.NONE
    drop_scope: DropScope = DropScope.NONE
    drop_low: int = 0
    drop_high: int = 0
    reject_outlier: Decimal | None = None
    aggregate: Aggregate = Aggregate.SUM
    factor: Decimal = ONE
    rounding_places: int | None = None
    round_where: RoundWhere = RoundWhere.DISPLAY
    tie_break: tuple[str, ...] = ()
    direction: Direction = Direction.HIGH
    place_method: PlaceMethod = PlaceMethod.SKIP
    rounds: Rounds = Rounds.LAST
    penalty_mark: Decimal | None = None
    max_spread: Decimal | None = None
    panels: tuple[Panel, ...] = ()

    def __post_init__(self) -> None:
        """Refuse (TypeError) floats, (ValueError) what no table could be totalled under."""
        for name in ("reject_outlier", "factor", "penalty_mark", "max_spread"):
            check_decimal(getattr(self, name), name)
        keys = [criterion.key for criterion in self.criteria]
        if not keys or len(set(keys)) < len(keys):
            raise ValueError(f"criteria must be at least one, each key once, got {keys}")
        if min(self.drop_low, self.drop_high) < 0 or self.sheets_expected < 1:
            raise ValueError("drop numbers must be 0 or more, sheets expected 1 or more")
        for step in self.tie_break:
            check_step(step, keys)

    @cached_property
    def by_key(self) -> dict[str, Criterion]:
        """The criteria by their key."""
        return {criterion.key: criterion for criterion in self.criteria}

    @cached_property
    def panel_keys(self) -> tuple[str, ...]:
        """The panels in print order; one rulebook in two has just one, named ""."""
        return tuple(dict.fromkeys(criterion.panel for criterion in self.criteria))

    def panel_criteria(self, panel: str) -> tuple[Criterion, ...]:
        """What this panel's judges mark."""
        return tuple(criterion for criterion in self.criteria if criterion.panel == panel)

    def panel_sheets(self, key: str) -> tuple[int, int]:
        """How many sheets this panel should give, and the least that make a total."""
        for panel in self.panels:
            if panel.key == key:
                return panel.sheets_expected, panel.sheets_least
        return self.sheets_expected, self.sheets_least

    def round(self, value: Decimal) -> Decimal:
        """The value at the rulebook's places, half up; as it is where there are none."""
        if self.rounding_places is None:
            return value
        return value.quantize(ONE.scaleb(-self.rounding_places), context=EXACT)


def round_total(totals: Sequence[Decimal | None], rounds: Rounds) -> Decimal | None:
    """What a box judged in several rounds comes to, first round first.

    None where a round that counts has no total, or none was judged. [points]
    """
    if not totals:
        return None
    if rounds is Rounds.LAST:
        return totals[-1]
    known = [total for total in totals if total is not None]
    return exact_sum(known) if len(known) == len(totals) else None


def exact_sum(values: Iterable[Decimal]) -> Decimal:
    """The sum without rounding, whatever the caller's decimal context."""
    total = ZERO
    for value in values:
        total = EXACT.add(total, value)
    return total


def settle(value: Decimal) -> Decimal:
    """The value to 24 places, half up; shorter ones are left as they are."""
    _, _, exponent = value.as_tuple()
    if isinstance(exponent, int) and exponent < -PLACES:
        return value.quantize(FINEST, context=EXACT)
    return value


def check_decimal(value: object, name: str) -> None:
    """Refuse (TypeError) anything but a Decimal or None, (ValueError) one that is no number."""
    if value is None:
        return
    if not isinstance(value, Decimal):
        raise TypeError(f"{name} must be a Decimal, got {type(value).__name__}")
    if not value.is_finite():
        raise ValueError(f"{name} must be a number, got {value}")


def check_step(step: str, keys: list[str]) -> None:
    """Refuse (ValueError) a tie-break step that nobody can apply."""
    match step.split(":"):
        case ["sum", key, "kept" | "all"] if key in keys:
            return
        case ["count_of", mark] | ["count_of", mark, "kept" | "all"] if _is_number(mark):
            return
        case ["dropped_total" | "head_judge" | "shared" | "draw"]:
            return
    raise ValueError(f"no such tie-break step: {step!r}")


def _is_number(text: str) -> bool:
    return text.replace(".", "", 1).isdecimal()
