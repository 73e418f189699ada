"""Pages of judging."""

from teamops.judging.views.changes import add_change, change_change, delete_change, show_changes
from teamops.judging.views.record import record_scores

__all__ = ["add_change", "change_change", "delete_change", "record_scores", "show_changes"]
