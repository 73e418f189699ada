"""What is asked about contests, boxes and tasks."""

from teamops.contests.forms.common import narrow, people, refuse_with
from teamops.contests.forms.contest import CallOffForm, ContestForm, PostponeForm
from teamops.contests.forms.entry import EntryForm, OutcomesForm
from teamops.contests.forms.papers import PaperForm
from teamops.contests.forms.payments import PaymentForm
from teamops.contests.forms.task import StepForm, TaskForm

__all__ = [
    "CallOffForm",
    "ContestForm",
    "EntryForm",
    "OutcomesForm",
    "PaperForm",
    "PaymentForm",
    "PostponeForm",
    "StepForm",
    "TaskForm",
    "narrow",
    "people",
    "refuse_with",
]
