"""What is done to contests, boxes and tasks; each action is whole or not at all."""

from teamops.contests.actions.contest import (
    call_off_contest,
    change_contest,
    delete_contest,
    mark_cooked,
    postpone_contest,
    register_contest,
    shift,
)
from teamops.contests.actions.entry import delete_entry, save_entry, set_outcomes
from teamops.contests.actions.papers import delete_paper, save_paper
from teamops.contests.actions.payments import remove_payment, save_payment
from teamops.contests.actions.task import save_task, set_task_done

__all__ = [
    "call_off_contest",
    "change_contest",
    "delete_contest",
    "delete_entry",
    "delete_paper",
    "mark_cooked",
    "postpone_contest",
    "register_contest",
    "remove_payment",
    "save_entry",
    "save_paper",
    "save_payment",
    "save_task",
    "set_outcomes",
    "set_task_done",
    "shift",
]
