"""The rulebook form as one page: its own fields, rows, steps and what all of it adds up to."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from teamops.calc.scoring import Rules, step_name
from teamops.calc.words import opening
from teamops.rules.checks import check_book, known_step
from teamops.rules.forms.book import ARITHMETIC, FOLDED, BookForm, CriterionForm, PanelForm
from teamops.rules.forms.draft import BLANK_STEPS, Draft, Row
from teamops.rules.models import Criterion, Rulebook
from teamops.rules.records import rules_of

SECTIONS = ("criteria", "panels", "tie_break")  # errors that have no field of their own


@dataclass(frozen=True, slots=True)
class Choice:
    """One step that a tie may take."""

    value: str
    words: str
    chosen: bool


class BookPage:
    """
    A draft with its forms.

    Unchecked it shows what was typed and complains of nothing; `check` says whether it can be
    kept, and puts what is wrong beside the boxes.
    """

    def __init__(self, draft: Draft, rulebook: Rulebook, *, checked: bool, exception: bool) -> None:
        self.draft, self.rulebook = draft, rulebook
        sent: Any = draft.fields if checked else None
        self.form = BookForm(sent, initial=draft.fields, instance=rulebook, exception=exception)
        self.rows = list(self._row_forms(checked=checked))
        self.panels = [
            PanelForm(
                _prefixed("p", row) if checked and _said(row) else None,
                initial=row,
                auto_id=f"p{number}-%s",
            )
            for number, row in enumerate(draft.panels)
        ]
        self.errors: dict[str, list[str]] = {}

    def _row_forms(self, *, checked: bool) -> Iterator[CriterionForm]:
        for number, row in enumerate(self.draft.criteria):
            named = bool(row["name"].strip())
            sent = _prefixed("c", row) if checked and named else None
            yield CriterionForm(sent, initial=row, auto_id=f"c{number}-%s")

    def check(self) -> bool:
        """Whether it can be kept as it is; only for a page made `checked`."""
        fine = self._clean()
        if fine:
            try:
                check_book(self.rulebook, self.criteria)
            except ValidationError as refusal:
                self.refuse(refusal)
                fine = False
        return fine

    def _clean(self) -> bool:
        """Clean every form and gather what it says into the rulebook; False if any is wrong."""
        rows = [form for form in self.rows if form.is_bound]
        panels = [form for form in self.panels if form.is_bound]
        fine = all([self.form.is_valid(), *[f.is_valid() for f in [*rows, *panels]]])
        keys = self.draft.final_keys()
        self.criteria: list[Criterion] = []
        for order, form in enumerate(rows, start=1):
            form.instance.order = order
            form.instance.key = keys.get(form.instance.key, form.instance.key)
            self.criteria.append(form.instance)
        self.rulebook.tie_break = self.draft.final_steps()
        self.rulebook.panels = [
            {name: form.cleaned_data.get(name) for name in ("name", "expected", "least")}
            for form in panels
            if form.is_valid()
        ]
        return fine

    @property
    def forms(self) -> list[forms.BaseForm]:
        """All forms of the page, in its order."""
        return [self.form, *self.rows, *self.panels]

    def refuse(self, refusal: ValidationError) -> None:
        """Put a refusal beside its boxes, or on top of the page."""
        by_field = (
            refusal.message_dict if hasattr(refusal, "error_dict") else {"": refusal.messages}
        )
        for name, words in by_field.items():
            if name in SECTIONS:
                self.errors.setdefault(name, []).extend(words)
                self.form.add_error(None, words)  # said at the top of the page too
            elif name in self.form.fields:
                self.form.add_error(name, words)
            elif "You have this edition already." in words:
                self.form.add_error("edition", "You have this edition already.")
            else:
                self.form.add_error(None, words)

    def rules(self) -> tuple[Rules | None, list[str]]:
        """What can be reckoned with now, or what stops it; a missing name or window does not."""
        self._clean()
        stops = [
            f"{self.form[name].label}: {words}"
            for name, errors in self.form.errors.items()
            if name in ARITHMETIC
            for words in errors
        ]
        for form, what in [(f, "name") for f in (*self.rows, *self.panels) if f.is_bound]:
            for name, errors in form.errors.items():
                label = form.fields[name].label if name in form.fields else ""
                who = form.data.get(f"{form.prefix}-{what}", "")
                stops += [f"{who}, {label}: {words}" for words in errors]
        if stops:
            return None, stops
        if not self.criteria:
            return None, ["Name what judges mark, and a worked example appears here."]
        try:
            check_book(self.rulebook, self.criteria)
        except ValidationError as refusal:
            by_field = refusal.message_dict if hasattr(refusal, "error_dict") else {}
            stops = [w for name, ws in by_field.items() if name != "valid_to" for w in ws]
            if stops or not by_field:
                return None, stops or refusal.messages
        return self._working_rules(), []

    def _working_rules(self) -> Rules:
        """The rules, with the rows' keys as the page has them, so that its marks are found."""
        back = {kept: now for now, kept in self.draft.final_keys().items()}
        for criterion in self.criteria:
            criterion.key = back.get(criterion.key, criterion.key)
        steps = list(self.draft.steps)
        kept, self.rulebook.tie_break = self.rulebook.tie_break, steps
        rules = rules_of(self.rulebook, self.criteria)
        self.rulebook.tie_break = kept
        return rules

    @property
    def folded_wrong(self) -> bool:
        """Whether the folded part must be open: something there is wrong, or panels are in use."""
        wrong = self.form.is_bound and any(name in self.form.errors for name in FOLDED)
        return wrong or bool(self.panels) or bool(self.errors.get("panels"))

    @property
    def marks(self) -> Row:
        """The example's marks, without those of a scale that has changed since."""
        changed = {
            row["key"]
            for row in self.draft.criteria
            if self.draft.marks.get(f"s-{row['key']}", scale_sign(row)) != scale_sign(row)
        }
        return {
            name: text
            for name, text in self.draft.marks.items()
            if name.startswith("x") and name.partition("-")[2] not in changed
        }

    @property
    def signs(self) -> list[tuple[str, str]]:
        """What the example's marks were made for, row by row."""
        return [(f"s-{row['key']}", scale_sign(row)) for row in self.draft.named]

    @property
    def names_sign(self) -> str:
        """Changes when the tie's choices do."""
        return "|".join(f"{row['key']}={row['name']}={row['most']}" for row in self.draft.named)

    @property
    def steps(self) -> list[list[Choice]]:
        """A list of choices for each step, and a few for more."""
        return [list(self._choices(step)) for step in [*self.draft.steps, *[""] * BLANK_STEPS]]

    def _choices(self, chosen: str) -> Iterator[Choice]:
        names = {row["key"]: row["name"].strip() for row in self.draft.named}
        values = [f"sum:{key}:kept" for key in names]
        values += [f"count_of:{mark}" for mark in top_marks(self.draft.named)]
        values += ["dropped_total", "head_judge"]
        values += [f"sum:{key}:all" for key in names]
        values += ["shared", "draw"]
        yield Choice("", "–", not chosen)
        for value in values:
            yield Choice(value, opening(step_name(value, names)), value == chosen)
        if chosen and chosen not in values:
            known = known_step(chosen, list(names))
            words = opening(step_name(chosen, names)) if known else f"not known: {chosen[:40]}"
            yield Choice(chosen, words, True)


def top_marks(rows: Sequence[Row]) -> list[str]:
    """The highest marks of the scales, each once, as a step would count them."""
    found: dict[str, None] = {}
    for row in rows:
        text = row["most"].strip().replace(",", ".")
        try:
            mark = Decimal(text)
        except InvalidOperation:
            continue
        if mark.is_finite() and 0 <= mark < 10_000:
            found[f"{mark.normalize():f}"] = None
    return list(found)


def scale_sign(row: Row) -> str:
    return "|".join(row[name].strip() for name in ("least", "most", "step"))


def _prefixed(prefix: str, row: Row) -> Row:
    return {f"{prefix}-{name}": text for name, text in row.items()}


def _said(row: Row) -> bool:
    return bool(row["name"].strip() or row["expected"].strip())
