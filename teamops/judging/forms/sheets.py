"""The score table: a form a judge, a field a mark."""

from collections.abc import Mapping, Sequence
from typing import Any
from uuid import UUID, uuid4

from django import forms
from django.forms.formsets import TOTAL_FORM_COUNT, BaseFormSet, formset_factory
from django.http import QueryDict

from teamops.judging.actions import TypedSheet
from teamops.judging.forms.numbers import PaperNumberField
from teamops.judging.models import ScoreSheet
from teamops.rules.models import Criterion

PREFIX = "sheets"
MOST_SHEETS = 60  # a page takes no more; the largest panel known to us has seven judges


class SheetForm(forms.Form):
    """
    One judge's row: a mark for each criterion of the panel, the printed total, a comment.

    `templatetags.grid` writes its inputs.
    """

    id = forms.UUIDField()
    panel = forms.CharField(required=False, max_length=40)
    seat = forms.CharField(required=False, max_length=10)
    total = PaperNumberField(digits=6, places=4)
    comment = forms.CharField(required=False, max_length=500)

    def __init__(self, *args: Any, criteria: Sequence[Criterion], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        said = self["panel"].value() or ""
        panels = [criterion.panel for criterion in criteria]
        self.judged_by = said if said in panels else next(iter(panels), "")
        self.criteria = [row for row in criteria if row.panel == self.judged_by]
        for criterion in self.criteria:
            self.fields[f"m{criterion.pk}"] = PaperNumberField()

    @property
    def number(self) -> str:
        """Which row this is, 1 first; nothing on the blank one that another judge gets."""
        index = (self.prefix or "").rpartition("-")[2]
        return str(int(index) + 1) if index.isdecimal() else ""

    @property
    def cells(self) -> list[tuple[Criterion, forms.BoundField]]:
        """The row's marks with their criteria."""
        return [(criterion, self[f"m{criterion.pk}"]) for criterion in self.criteria]

    def typed(self, table: str = "") -> TypedSheet:
        """The cleaned row as the action takes it."""
        data = self.cleaned_data
        return TypedSheet(
            id=data["id"],
            marks={criterion.pk: data[f"m{criterion.pk}"] for criterion in self.criteria},
            seat=data["seat"],
            panel=self.judged_by,
            table=table,
            given_total=data["total"],
            comment=data["comment"],
        )


class SheetForms(
    formset_factory(  # type: ignore[misc]
        SheetForm, formset=BaseFormSet, extra=0, max_num=MOST_SHEETS, validate_max=True
    )
):
    """An envelope's rows, in the order they were typed."""

    def __init__(self, *args: Any, criteria: Sequence[Criterion], **kwargs: Any) -> None:
        super().__init__(
            *args,
            prefix=PREFIX,
            form_kwargs={"criteria": criteria, "empty_permitted": False},
            **kwargs,
        )

    @classmethod
    def of(
        cls,
        criteria: Sequence[Criterion],
        sheets: Sequence[ScoreSheet],
        expected: int,
    ) -> "SheetForms":
        """The rows of stored sheets, and blank ones up to the number of judges expected."""
        rows = [_initial(sheet) for sheet in sheets]
        for panel in dict.fromkeys(criterion.panel for criterion in criteria):
            came = sum(1 for row in rows if row["panel"] == panel)
            rows += [{"id": uuid4(), "panel": panel} for _ in range(came, expected)]
        return cls(criteria=criteria, initial=rows)

    def typed(self, table: str) -> list[TypedSheet]:
        """The cleaned table as the action takes it."""
        return [form.typed(table) for form in self.forms]


def with_another_row(data: QueryDict, panel: str) -> QueryDict:
    """What was typed, with a blank row more at its end."""
    data = data.copy()
    key = f"{PREFIX}-{TOTAL_FORM_COUNT}"
    said = str(data.get(key, ""))
    count = int(said) if said.isdecimal() else 0
    if count < MOST_SHEETS:
        data[key] = str(count + 1)
        data[f"{PREFIX}-{count}-id"] = str(uuid4())
        data[f"{PREFIX}-{count}-panel"] = panel
    return data


def _initial(sheet: ScoreSheet) -> dict[str, Any]:
    marks: Mapping[str, Any] = {f"m{mark.criterion_id}": mark.points for mark in sheet.marks.all()}
    own: dict[str, UUID | str | Any] = {
        "id": sheet.pk,
        "panel": sheet.panel,
        "seat": sheet.seat,
        "total": sheet.given_total,
        "comment": sheet.comment,
    }
    return own | dict(marks)
