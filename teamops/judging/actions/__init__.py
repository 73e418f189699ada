"""What is done to score sheets, results and changes; each action is whole or not at all."""

from teamops.judging.actions.changes import delete_change, save_change
from teamops.judging.actions.corrections import (
    CORRECTABLE,
    changes,
    correct_entry,
    correction_words,
)
from teamops.judging.actions.postings import KeptPosting, keep_posting, posted_values
from teamops.judging.actions.record import OFFICIAL, TypedSheet, record_scores
from teamops.judging.actions.results import rescore, store_results

__all__ = [
    "CORRECTABLE",
    "OFFICIAL",
    "KeptPosting",
    "TypedSheet",
    "changes",
    "correct_entry",
    "correction_words",
    "delete_change",
    "keep_posting",
    "posted_values",
    "record_scores",
    "rescore",
    "save_change",
    "store_results",
]
