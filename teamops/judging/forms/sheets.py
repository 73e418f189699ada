"""The score table: a form a judge, a field a mark."""

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any
from uuid import UUID, uuid4

from django import forms
from django.forms.formsets import TOTAL_FORM_COUNT, BaseFormSet, formset_factory
from django.http import QueryDict

from teamops.judging.actions import TypedSheet
from teamops.judging.forms.numbers import PaperMarkField, PaperNumberField
from teamops.judging.forms.rounds import MOST_ROUNDS, RoundForms
from teamops.judging.models import ScoreSheet
from teamops.judging.paper import BLANK, PaperMark
from teamops.rules.models import Criterion

PREFIX = "sheets"
MOST_SHEETS = 60  # a page takes no more; the largest panel known to us has seven judges


class SheetForm(forms.Form):
    """
    One judge's row: a mark for each criterion of the panel, the printed total, a comment.

    `round` is the number of its round on the page, 0 for the first. `templatetags.grid` writes its
    inputs.
    """

    id = forms.UUIDField()
    round = forms.IntegerField(required=False, min_value=0, max_value=MOST_ROUNDS - 1)
    panel = forms.CharField(required=False, max_length=40)
    seat = forms.CharField(required=False, max_length=10)
    total = PaperNumberField(digits=6, places=4)
    comment = forms.CharField(required=False, max_length=500)
    co_judged = forms.BooleanField(required=False)

    def __init__(self, *args: Any, criteria: Sequence[Criterion], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.number = ""  # which judge of its round; nothing on the blank one that another gets
        said = self["panel"].value() or ""
        panels = [criterion.panel for criterion in criteria]
        self.judged_by = said if said in panels else next(iter(panels), "")
        self.criteria = [row for row in criteria if row.panel == self.judged_by]
        for criterion in self.criteria:
            self.fields[f"m{criterion.pk}"] = PaperMarkField()

    @property
    def judged_in(self) -> int:
        """The number of its round on the page."""
        said = str(self["round"].value() or "0")
        return int(said) if said.isascii() and said.isdecimal() and len(said) < 3 else 0

    @property
    def cells(self) -> list[tuple[Criterion, forms.BoundField]]:
        """The row's marks with their criteria."""
        return [(criterion, self[f"m{criterion.pk}"]) for criterion in self.criteria]

    def typed(self, table: str = "", round_name: str = "") -> TypedSheet:
        """The cleaned row as the action takes it."""
        data = self.cleaned_data
        boxes: dict[int, PaperMark] = {row.pk: data[f"m{row.pk}"] for row in self.criteria}
        return TypedSheet(
            id=data["id"],
            marks={key: box.points for key, box in boxes.items()},
            said={key: box.said for key, box in boxes.items() if box.said},
            seat=data["seat"],
            panel=self.judged_by,
            round=round_name,
            table=table,
            given_total=data["total"],
            co_judged=data["co_judged"],
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
        came: Counter[int] = Counter()
        for form in self.forms:
            came[form.judged_in] += 1
            form.number = str(came[form.judged_in])

    @classmethod
    def of(
        cls,
        criteria: Sequence[Criterion],
        sheets: Sequence[ScoreSheet],
        expected: Mapping[str, int],
    ) -> "SheetForms":
        """
        The rows of stored sheets, and blank ones up to each panel's number of judges expected.

        `expected` is by panel. Only the first round gets blank rows: who sits at another table is
        not known before it is added.
        """
        names = list(dict.fromkeys(sheet.round for sheet in sheets))
        rows = [_initial(sheet, names.index(sheet.round)) for sheet in sheets]
        panels = list(dict.fromkeys(criterion.panel for criterion in criteria))
        for panel in panels:
            came = sum(1 for row in rows if not row["round"] and _panel(row, panels) == panel)
            more = range(came, expected.get(panel, 0))
            rows += [{"id": uuid4(), "panel": panel, "round": 0} for _ in more]
        return cls(criteria=criteria, initial=rows)

    def typed(self, table: str, rounds: RoundForms | None = None) -> list[TypedSheet]:
        """The cleaned table as the action takes it, round by round."""
        forms_ = sorted(self.forms, key=lambda form: form.judged_in)
        return [form.typed(*rounds.of_row(form.judged_in, table) if rounds else (table,))
                for form in forms_]  # fmt: skip


def with_another_row(data: QueryDict, panel: str, round_number: int = 0) -> QueryDict:
    """What was typed, with a blank row more at its end."""
    data = data.copy()
    key = f"{PREFIX}-{TOTAL_FORM_COUNT}"
    said = str(data.get(key, ""))
    count = int(said) if said.isdecimal() else 0
    if count < MOST_SHEETS:
        data[key] = str(count + 1)
        data[f"{PREFIX}-{count}-id"] = str(uuid4())
        data[f"{PREFIX}-{count}-panel"] = panel
        data[f"{PREFIX}-{count}-round"] = str(round_number)
    return data


def _panel(row: Mapping[str, Any], panels: Sequence[str]) -> str:
    """The panel that a row is shown with: the first for one that the rulebook does not have."""
    return row["panel"] if row["panel"] in panels else next(iter(panels), "")


def _initial(sheet: ScoreSheet, round_number: int) -> dict[str, Any]:
    marks: Mapping[str, Any] = {
        f"m{mark.criterion_id}": PaperMark(mark.points, mark.said) if mark.said or
        mark.points is not None else BLANK
        for mark in sheet.marks.all()
    }  # fmt: skip
    own: dict[str, UUID | str | Any] = {
        "id": sheet.pk,
        "panel": sheet.panel,
        "round": round_number,
        "co_judged": sheet.co_judged,
        "seat": sheet.seat,
        "total": sheet.given_total,
        "comment": sheet.comment,
    }
    return own | dict(marks)
