"""
The rows of a score table as markup.

Written here and not as templates: a widget, its attributes and four variables a cell took half of
the page's time there. Every word a person typed goes through `escape`.
"""

from typing import Any

from django import forms, template
from django.utils.html import escape
from django.utils.safestring import SafeString

from teamops.judging.forms import SheetForm, SheetForms
from teamops.judging.templatetags.judging import brief
from teamops.judging.views.page import Cell, Grid, Row

register = template.Library()

HIDDEN = '<input type="hidden" name="{0}" id="id_{0}"{1}>'
MARK = (
    '<input type="text" class="mark" inputmode="decimal" autocomplete="off" name="{0}" id="id_{0}"'
    ' aria-label="{2}" aria-describedby="{3}-says"{1}>'
)
TEXT = '<input type="text" autocomplete="off" name="{0}" id="id_{0}" aria-label="{2}"{3}{1}>'
ROW = (
    '<tr class="judge{out}" data-row="{prefix}">\n<th scope="row">{head}</th>\n{cells}\n'
    '<td class="total" data-sum>{total}</td>\n</tr>\n'
    '<tr class="says"{hidden}>\n<td colspan="{wide}" id="{prefix}-says">{says}</td>\n</tr>\n'
)
TOTALS = (
    '<li data-totals-row="{prefix}">\n<b class="who" data-who>Judge {who}</b>\n'
    "<label>Total as printed {total}</label>\n"
    '<label class="comment">Comment {comment}</label>\n'
    '<label class="check"><input type="checkbox" name="{both}" id="id_{both}"{signed}>'
    " Two judges signed it</label>\n</li>\n"
)


@register.simple_tag
def judge_rows(grid: Grid) -> SafeString:
    """A row a judge, and below each what cannot be kept or is odd."""
    return SafeString("".join(map(_row, grid.rows)))


@register.simple_tag
def blank_row(grid: Grid) -> SafeString:
    """The row that another judge gets."""
    return SafeString(_row(grid.blank))


@register.simple_tag
def total_lines(grid: Grid) -> SafeString:
    """Each judge's printed total and comment."""
    return SafeString("".join(_totals(row.form) for row in grid.rows))


@register.simple_tag
def blank_total(grid: Grid) -> SafeString:
    """The line of printed total and comment that another judge gets."""
    return SafeString(_totals(grid.blank.form))


@register.simple_tag
def row_count(sheets: SheetForms) -> SafeString:
    """How many rows the page sends."""
    counts = sheets.management_form
    names = ("TOTAL_FORMS", "INITIAL_FORMS", "MIN_NUM_FORMS", "MAX_NUM_FORMS")
    return SafeString("".join(_hidden(counts[name]) for name in names))


def _row(row: Row) -> str:
    form = row.form
    fields = _hidden(form["id"]) + _hidden(form["panel"]) + _seat(form)
    if form.judged_in:
        fields += _hidden(form["round"])
    judge = _judge(form)
    return ROW.format(
        out=" out" if row.why_not else "",
        prefix=form.prefix,
        head=fields,
        cells="\n".join(_cell(cell, judge, form.prefix) for cell in row.cells),
        total="" if row.total is None else brief(row.total, 2),
        hidden="" if row.wrong or row.odd or row.why_not else " hidden",
        wide=len(row.cells) + 2,
        says=_says(row),
    )


def _cell(cell: Cell, judge: str, prefix: str | None) -> str:
    look = ' class="odd"' if cell.odd else ' class="differs"' if cell.theirs else ""
    label = escape(f"{judge}, {cell.criterion.name}")
    box = MARK.format(cell.field.html_name, _state(cell.field), label, prefix)
    beside = f'\n<span class="theirs">theirs {escape(cell.theirs)}</span>' if cell.theirs else ""
    return f"<td{look}>{box}{beside}</td>"


def _says(row: Row) -> str:
    lines = [f'<p class="wrong-words">{escape(words)}</p>' for words in row.wrong]
    if row.why_not:
        lines.append(f"<p>Does not count: {escape(row.why_not)}.</p>")
    return "".join([*lines, *(f"<p>{escape(words)}</p>" for words in row.odd)])


def _totals(form: SheetForm) -> str:
    judge = _judge(form)
    total, comment = form["total"], form["comment"]
    return TOTALS.format(
        prefix=form.prefix,
        who=escape(form["seat"].value() or form.number),
        total=_text(total, f"{judge}, total as printed", ' inputmode="decimal"'),
        comment=_text(comment, f"{judge}, comment", f' maxlength="{_longest(comment)}"'),
        both=form["co_judged"].html_name,
        signed=" checked" if form["co_judged"].value() else "",
    )


def _seat(form: SheetForm) -> str:
    more = f' placeholder="{form.number}" maxlength="{_longest(form["seat"])}"'
    return _text(form["seat"], f"{_judge(form)}, seat", more)


def _judge(form: SheetForm) -> str:
    """Whose row it is, to be heard with each of its boxes."""
    return f"Judge {form.number}".strip()


def _text(field: forms.BoundField, label: str, more: str) -> str:
    return TEXT.format(field.html_name, _state(field), escape(label), more)


def _hidden(field: forms.BoundField) -> str:
    return HIDDEN.format(field.html_name, _state(field))


def _state(field: forms.BoundField) -> str:
    """What stands in a box, and whether it cannot be kept."""
    value: Any = field.value()
    wrong = ' aria-invalid="true"' if field.form.is_bound and field.errors else ""
    return wrong if value in (None, "") else f'{wrong} value="{escape(value)}"'


def _longest(field: forms.BoundField) -> str:
    return field.field.widget.attrs["maxlength"]
