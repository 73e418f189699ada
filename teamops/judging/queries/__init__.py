"""What is known of an entry's scores, for this app's pages and for those above it."""

from teamops.judging.queries.due import due
from teamops.judging.queries.envelope import Envelope, MarkCell, SheetLine, envelope, last_saves
from teamops.judging.queries.results import (
    CriterionLine,
    EntryResult,
    entry_result,
    season_results,
)

__all__ = [
    "CriterionLine",
    "EntryResult",
    "Envelope",
    "MarkCell",
    "SheetLine",
    "due",
    "entry_result",
    "envelope",
    "last_saves",
    "season_results",
]
