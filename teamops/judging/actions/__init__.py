"""What is done to score sheets, results and changes; each action is whole or not at all."""

from teamops.judging.actions.changes import delete_change, keep_plan, save_change
from teamops.judging.actions.corrections import (
    CORRECTABLE,
    changes,
    correct_entry,
    correction_words,
)
from teamops.judging.actions.mend import judge_by, swap_boxes, swap_columns, take_out_sheet
from teamops.judging.actions.postings import KeptPosting, keep_posting, posted_values
from teamops.judging.actions.record import OFFICIAL, TypedSheet, record_scores
from teamops.judging.actions.results import rescore, store_results
from teamops.judging.actions.settle import SETTLED, follow_entry, settle_entry

__all__ = [
    "CORRECTABLE",
    "OFFICIAL",
    "SETTLED",
    "KeptPosting",
    "TypedSheet",
    "changes",
    "correct_entry",
    "correction_words",
    "delete_change",
    "follow_entry",
    "judge_by",
    "keep_plan",
    "keep_posting",
    "posted_values",
    "record_scores",
    "rescore",
    "save_change",
    "settle_entry",
    "store_results",
    "swap_boxes",
    "swap_columns",
    "take_out_sheet",
]
