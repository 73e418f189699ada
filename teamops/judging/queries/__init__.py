"""What is known of an entry's scores, for this app's pages and for those above it."""

from teamops.judging.queries.corrections import CorrectionLine, corrections_of
from teamops.judging.queries.due import due
from teamops.judging.queries.envelope import Envelope, MarkCell, SheetLine, envelope, last_saves
from teamops.judging.queries.postings import (
    StandingPage,
    category_lists,
    entry_name,
    standing_page,
)
from teamops.judging.queries.promise import promise
from teamops.judging.queries.results import (
    CriterionLine,
    EntryResult,
    entry_result,
    season_results,
)

__all__ = [
    "CorrectionLine",
    "CriterionLine",
    "EntryResult",
    "Envelope",
    "MarkCell",
    "SheetLine",
    "StandingPage",
    "category_lists",
    "corrections_of",
    "due",
    "entry_name",
    "entry_result",
    "envelope",
    "last_saves",
    "promise",
    "season_results",
    "standing_page",
]
