"""What is typed about an entry's scores, and about what the team changed."""

from teamops.judging.forms.changes import ChangeForm
from teamops.judging.forms.corrections import CorrectionForm
from teamops.judging.forms.given import CriterionTotalsForm
from teamops.judging.forms.numbers import PaperMarkField, PaperNumberField, read_number
from teamops.judging.forms.posted import PageForm, PostedForm
from teamops.judging.forms.postings import PasteForm, Preview
from teamops.judging.forms.rounds import RoundForms
from teamops.judging.forms.sheets import SheetForm, SheetForms

__all__ = [
    "ChangeForm",
    "CorrectionForm",
    "CriterionTotalsForm",
    "PageForm",
    "PaperMarkField",
    "PaperNumberField",
    "PasteForm",
    "PostedForm",
    "Preview",
    "RoundForms",
    "SheetForm",
    "SheetForms",
    "read_number",
]
