from teamops.contests.models.contest import Contest
from teamops.contests.models.entry import Category, Entry
from teamops.contests.models.task import Task
from teamops.contests.models.trip import Trip

__all__ = ["Category", "Contest", "Entry", "Task", "Trip"]
