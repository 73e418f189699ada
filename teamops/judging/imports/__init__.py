"""Score sheets, results and contests brought in from tables as people keep them.

A table is read (`read_file`, `read_text`), its columns are guessed (`guess`) or remembered, and
`plan` says row by row what would happen. `take_in` writes it whole or not at all; `undo` takes it
away again.
"""

from teamops.judging.imports.asking import Problem, Question
from teamops.judging.imports.columns import Column, Columns
from teamops.judging.imports.fields import FIELDS, SKIP, field_choices, label_of
from teamops.judging.imports.guess import criteria_of, guess
from teamops.judging.imports.plan import Plan, PlannedRow, plan, problem_words
from teamops.judging.imports.remember import remember, remembered
from teamops.judging.imports.take import take_in
from teamops.judging.imports.template import template_csv, template_xlsx
from teamops.judging.imports.text import read_file, read_text
from teamops.judging.imports.undo import undo
from teamops.tabular import Table, Unreadable

__all__ = [
    "FIELDS",
    "SKIP",
    "Column",
    "Columns",
    "Plan",
    "PlannedRow",
    "Problem",
    "Question",
    "Table",
    "Unreadable",
    "criteria_of",
    "field_choices",
    "guess",
    "label_of",
    "plan",
    "problem_words",
    "read_file",
    "read_text",
    "remember",
    "remembered",
    "take_in",
    "template_csv",
    "template_xlsx",
    "undo",
]
