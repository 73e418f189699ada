"""What is done to contests, boxes and tasks; each action is whole or not at all."""

from teamops.contests.actions.contest import (
    change_contest,
    delete_contest,
    mark_cooked,
    register_contest,
    shift,
)
from teamops.contests.actions.entry import delete_entry, save_entry
from teamops.contests.actions.papers import delete_paper, save_paper
from teamops.contests.actions.task import save_task, set_task_done

__all__ = [
    "change_contest",
    "delete_contest",
    "delete_entry",
    "delete_paper",
    "mark_cooked",
    "register_contest",
    "save_entry",
    "save_paper",
    "save_task",
    "set_task_done",
    "shift",
]
