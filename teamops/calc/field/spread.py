"""A field's totals in one line."""

from collections.abc import Sequence
from decimal import Decimal
from statistics import median, quantiles

from teamops.calc.words import brief, count_of


def spread_words(totals: Sequence[Decimal]) -> str:
    """Median, middle half and ends of the totals; the quarters lie between values, as is usual.

    Fewer than four totals have no middle half worth telling, one or none has no spread. [points]
    """
    if len(totals) < 2:
        return ""
    ends = f"all from {brief(min(totals))} to {brief(max(totals))}"
    middle = f"The median of {count_of(len(totals), 'total')} is {brief(median(totals))}"
    if len(totals) < 4:
        return f"{middle}; {ends}."
    low, _, high = quantiles(totals, n=4, method="inclusive")
    return f"{middle}; the middle half goes from {brief(low)} to {brief(high)}, {ends}."
