"""Pages of judging."""

from teamops.judging.views.changes import add_change, change_change, delete_change, plan_change
from teamops.judging.views.corrections import add_correction
from teamops.judging.views.mend import mend_sheets
from teamops.judging.views.postings import add_posting, show_posting, show_postings
from teamops.judging.views.record import record_scores
from teamops.judging.views.settle import settle_entry

__all__ = [
    "add_change",
    "add_correction",
    "add_posting",
    "change_change",
    "delete_change",
    "mend_sheets",
    "plan_change",
    "record_scores",
    "settle_entry",
    "show_posting",
    "show_postings",
]
