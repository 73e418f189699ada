from teamops.contests.models.checklist import ChecklistTemplate, TemplateTask
from teamops.contests.models.contest import Contest
from teamops.contests.models.day import LidCheck, MeetingWord, Protest
from teamops.contests.models.entry import Category, Entry
from teamops.contests.models.papers import TeamPaper
from teamops.contests.models.payment import Payment
from teamops.contests.models.photo import EntryPhoto
from teamops.contests.models.task import Anchor, Task
from teamops.contests.models.trip import Trip

__all__ = [
    "Anchor",
    "Category",
    "ChecklistTemplate",
    "Contest",
    "Entry",
    "EntryPhoto",
    "LidCheck",
    "MeetingWord",
    "Payment",
    "Protest",
    "Task",
    "TeamPaper",
    "TemplateTask",
    "Trip",
]
