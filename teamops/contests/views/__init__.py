"""Pages of contests."""

from teamops.contests.views.contest import (
    add_contest,
    change_contest,
    delete_contest,
    show_contest,
    show_contests,
)
from teamops.contests.views.entry import add_entry, change_entry, delete_entry, set_outcomes
from teamops.contests.views.off import call_off_contest, postpone_contest
from teamops.contests.views.papers import add_paper, change_paper, delete_paper, show_papers
from teamops.contests.views.payments import add_payment, change_payment, delete_payment
from teamops.contests.views.prep import add_usual_steps, print_prep, show_prep
from teamops.contests.views.task import add_task, change_step, delete_task, set_task_done

__all__ = [
    "add_contest",
    "add_entry",
    "add_paper",
    "add_payment",
    "add_task",
    "add_usual_steps",
    "call_off_contest",
    "change_contest",
    "change_entry",
    "change_paper",
    "change_payment",
    "change_step",
    "delete_contest",
    "delete_entry",
    "delete_paper",
    "delete_payment",
    "delete_task",
    "postpone_contest",
    "print_prep",
    "set_outcomes",
    "set_task_done",
    "show_contest",
    "show_contests",
    "show_papers",
    "show_prep",
]
