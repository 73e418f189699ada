"""How a box was cooked, as seen: doneness and three temperatures, and what is odd about them."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from teamops.calc.units import f_to_c, show_temperature
from teamops.contests.models import Entry

LEAST_C = f_to_c(Decimal(145))  # whole cuts of beef, with 3 minutes of rest: FSIS
BOILING_C = Decimal(100)
NAMES = {"pull_c": "Pulled at", "last_seen_c": "Last seen at", "peak_c": "Peak"}


def under_minimum(units: str) -> str:
    """What is said of a temperature below the published minimum of whole cuts of beef."""
    least = show_temperature(LEAST_C, units)
    return (
        f"under the published minimum for whole cuts of beef ({least} and 3 minutes of rest, "
        "FSIS): your declared rule and the health authority govern."
    )


@dataclass(frozen=True, slots=True)
class Cooked:
    """What was noted, (label, words) line by line; what is odd; and what to mind."""

    lines: tuple[tuple[str, str], ...]
    odd: tuple[str, ...]
    caution: str


def cooked_of(entry: Entry, units: str) -> Cooked:
    """How a box was cooked, in words. Asks nothing."""
    lines = []
    if entry.doneness_seen:
        lines.append(("Doneness as seen", entry.get_doneness_seen_display()))
    for name, label in NAMES.items():
        value = getattr(entry, name)
        if value is not None:
            lines.append((label, show_temperature(value, units)))
    return Cooked(tuple(lines), tuple(_odd(entry, units)), _caution(entry, units))


def _odd(entry: Entry, units: str) -> Iterator[str]:
    """What cannot be quite so, in words; it is kept all the same."""
    pull, last, peak = entry.pull_c, entry.last_seen_c, entry.peak_c
    if peak is not None and pull is not None and peak < pull:
        yield "The peak is below the pull: a steak warms on after it is pulled."
    if peak is not None and last is not None and peak < last:
        yield "The peak is below what was last seen: the peak is the highest of all."
    for name, label in NAMES.items():
        value = getattr(entry, name)
        if value is None:
            continue
        shown = show_temperature(value, units)
        if value > BOILING_C:
            boiling = show_temperature(BOILING_C, units)
            yield f"{label} {shown}: inside, meat gets no hotter than boiling water, {boiling}."
        elif value < 0:
            yield f"{label} {shown}: that is frozen."


def _caution(entry: Entry, units: str) -> str:
    """The published minimum, where the hottest that was noted is below it; for beef alone."""
    noted = [value for name in NAMES if (value := getattr(entry, name)) is not None]
    if not noted or max(noted) >= LEAST_C or entry.category.ancillary:
        return ""
    highest = show_temperature(max(noted), units)
    what = (
        f"A peak of {highest} is"
        if entry.peak_c == max(noted)
        else f"The most noted, {highest}, is"
    )
    return f"{what} {under_minimum(units)} Blade-tenderized beef is not an intact cut."
