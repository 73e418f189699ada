"""Pages of judging."""

from teamops.judging.views.changes import add_change, change_change, delete_change, show_changes
from teamops.judging.views.corrections import add_correction
from teamops.judging.views.postings import add_posting, show_posting, show_postings
from teamops.judging.views.record import record_scores

__all__ = [
    "add_change",
    "add_correction",
    "add_posting",
    "change_change",
    "delete_change",
    "record_scores",
    "show_changes",
    "show_posting",
    "show_postings",
]
