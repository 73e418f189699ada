"""What is asked about contests, boxes and tasks."""

from teamops.contests.forms.common import narrow, people, refuse_with, zone_names
from teamops.contests.forms.contest import ContestForm
from teamops.contests.forms.entry import EntryForm
from teamops.contests.forms.papers import PaperForm
from teamops.contests.forms.task import StepForm, TaskForm

__all__ = [
    "ContestForm",
    "EntryForm",
    "PaperForm",
    "StepForm",
    "TaskForm",
    "narrow",
    "people",
    "refuse_with",
    "zone_names",
]
