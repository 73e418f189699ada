"""What was official about an entry and was put right later."""

from dataclasses import dataclass

from teamops.contests.models import Entry
from teamops.judging.models import Correction


@dataclass(frozen=True, slots=True)
class CorrectionLine:
    """One correction, in words ready to print."""

    day: str
    what: str
    why: str
    by: str


def corrections_of(entry: Entry) -> tuple[CorrectionLine, ...]:
    """An entry's corrections, the latest first; one query."""
    rows = (
        Correction.objects.filter(entry=entry)
        .select_related("recorded_by")
        .order_by("-corrected_on", "-recorded_at", "-pk")
    )
    return tuple(
        CorrectionLine(
            day=f"{row.corrected_on:%a} {row.corrected_on.day} {row.corrected_on:%b %Y}",
            what=row.what,
            why=row.why,
            by=str(row.recorded_by),
        )
        for row in rows
    )
