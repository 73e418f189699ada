"""A file or pasted text that is brought in, and what each of its columns means."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile

from teamops.judging.imports import (
    Columns,
    Question,
    Table,
    Unreadable,
    field_choices,
    read_file,
    read_text,
)
from teamops.judging.imports.columns import DAY_ORDERS
from teamops.judging.imports.fields import TEMPERATURES
from teamops.tabular import LONGEST_CELL
from teamops.web.forms import FriendlyForm, PlainCharField

MOST_PASTED = 600_000  # characters: some 5,000 long rows
LONGEST_NAME = 200
TOO_LARGE = (
    "is larger than 10 MB, so it was let go. Score tables are small: take the pictures out, or"
    " save the sheet as CSV."
)
PASTED = "Pasted text"
CELL = re.compile(r"cell-(\d{1,6})-(\d{1,3})")
ANSWER = "answer:"  # before a question's key, in a field's name


class BringForm(FriendlyForm, forms.Form):
    """
    A file, or pasted text: one of the two, read into `tables`.

    What cannot be read is said beside its field, in the words of whoever read it.
    """

    file = forms.FileField(
        label="A file",
        required=False,
        allow_empty_file=True,
        help_text="CSV, a spreadsheet (XLSX), or text. At most 10 MB.",
        widget=forms.FileInput(attrs={"accept": ".csv,.tsv,.txt,.xlsx,.xlsm"}),
    )
    text = PlainCharField(
        label="Or paste it",
        required=False,
        strip=False,
        help_text="Copied from a spreadsheet, a web page or a PDF. Crooked columns do no harm.",
        widget=forms.Textarea(
            attrs={"rows": 8, "class": "pasted", "spellcheck": "false", "autocapitalize": "off"}
        ),
    )

    def __init__(self, *args: Any, too_large: Sequence[Any] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.too_large = too_large
        self.tables: tuple[Table, ...] = ()

    @property
    def name(self) -> str:
        """What the import is called: by its file, or that it was pasted."""
        upload = self.cleaned_data.get("file")
        name = upload.name if upload else ""
        return "".join(letter for letter in name if letter.isprintable())[:LONGEST_NAME] or PASTED

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        upload, text = cleaned.get("file"), cleaned.get("text") or ""
        if self.too_large:
            self.add_error("file", f"{self.too_large[0]} {TOO_LARGE}")
        elif upload and text.strip():
            self.add_error("file", "Bring a file or paste text, not both: choose it again without "
                                   "the text, or read the text alone.")  # fmt: skip
        elif upload:
            self._read("file", upload, text)
        elif len(text) > MOST_PASTED:
            most = f"at most {MOST_PASTED:,}. Save them as a file and bring that."
            self.add_error("text", f"These are {len(text):,} characters: {most}")
        elif text.strip():
            self._read("text", None, text)
        elif not self.errors:
            self.add_error("file", "Choose a file, or paste what you have below.")
        return cleaned

    def _read(self, field: str, upload: UploadedFile | None, text: str) -> None:
        try:
            found = (
                read_file(upload.read(), str(upload.name)) if upload else (read_text(text, PASTED),)
            )
        except Unreadable as unreadable:
            self.add_error(field, str(unreadable))
            return
        self.tables = tuple(table for table in found if table.rows)
        if not self.tables:
            self.add_error(field, "There is nothing in it.")


def storable(table: Table) -> list[list[str]]:
    """Its cells as a database keeps them: without the one character that PostgreSQL refuses."""
    return [[cell.replace("\0", "") for cell in row] for row in table.rows]


def mended(data: Mapping[str, str], cells: Sequence[Sequence[str]]) -> list[list[str]] | None:
    """The cells with what a page sends for some (`cell-731-4`); None where all is as it was."""
    found: list[list[str]] | None = None
    for name, text in data.items():
        at = CELL.fullmatch(name)
        if at is None:
            continue
        row, place = int(at[1]) - 1, int(at[2])
        if not 0 <= row < len(cells) or place >= len(cells[row]) or len(text) > LONGEST_CELL:
            continue
        if cells[row][place] != text:
            found = found or [list(one) for one in cells]
            found[row][place] = text.replace("\0", "")
    return found


def chosen_columns(
    data: Mapping[str, str],
    columns: Columns,
    criteria: Mapping[str, str],
    questions: Sequence[Question],
) -> Columns:
    """
    The columns as a page sends them back; what is missing or unknown in it stays as it was.

    `column-3` is what the fourth column means, `unit-3` the unit of a temperature; `day_order`
    and `decimal` are the table's; `answer:…` answers the plan's question of that key.
    """
    known = {code for _, choices in field_choices(criteria) for code, _ in choices}
    codes = {}
    for index, column in enumerate(columns.columns):
        code = data.get(f"column-{index}", column.code)
        if code in known and code != column.code:
            codes[index] = code
    columns = columns.with_codes(codes) if codes else columns
    columns = replace(columns, columns=tuple(
        replace(one, unit=_unit(data.get(f"unit-{index}", one.unit), one.code, one.unit))
        for index, one in enumerate(columns.columns)
    ))  # fmt: skip
    if data.get("decimal") in (".", ","):
        columns = replace(columns, decimal=data["decimal"])
    answers = {
        one.key: data[f"{ANSWER}{one.key}"]
        for one in questions
        if data.get(f"{ANSWER}{one.key}") in {value for value, _ in one.options}
    }
    if data.get("day_order") in DAY_ORDERS:
        columns = columns.with_order(data["day_order"])
        answers["day_order"] = data["day_order"]
    return columns.with_answers(answers)


def _unit(asked: str, code: str, was: str) -> str:
    return asked if code in TEMPERATURES and asked in ("", "c", "f") else was


def answered(columns: Columns, questions: Sequence[Question]) -> Columns:
    """The columns with what the plan suggests where nothing was answered: what a page shows."""
    shown = {one.key: one.chosen for one in questions if not one.is_open}
    return columns.with_answers(shown | {"day_order": columns.day_order})
