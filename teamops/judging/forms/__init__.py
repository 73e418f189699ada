"""What is typed about an entry's scores, and about what the team changed."""

from teamops.judging.forms.changes import ChangeForm
from teamops.judging.forms.numbers import PaperNumberField, read_number
from teamops.judging.forms.posted import PageForm, PostedForm
from teamops.judging.forms.sheets import SheetForm, SheetForms

__all__ = [
    "ChangeForm",
    "PageForm",
    "PaperNumberField",
    "PostedForm",
    "SheetForm",
    "SheetForms",
    "read_number",
]
