"""The score table as its page shows it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from django import forms

from teamops.judging.forms import SheetForm, SheetForms
from teamops.judging.queries import Envelope, SheetLine
from teamops.rules.models import Criterion, Rulebook

Theirs = Mapping[int, Decimal | None]


@dataclass(frozen=True, slots=True)
class Column:
    """A criterion as the head of its column; `mean` is over the marks that are saved."""

    criterion: Criterion
    mean: Decimal | None


@dataclass(frozen=True, slots=True)
class Cell:
    """One input; `theirs` is what somebody else saved where that is something else."""

    criterion: Criterion
    field: forms.BoundField
    odd: bool
    theirs: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One judge: inputs, the sum as saved, and sentences about what cannot be kept or is odd."""

    form: SheetForm
    cells: tuple[Cell, ...]
    total: Decimal | None = None
    why_not: str = ""
    wrong: tuple[str, ...] = ()
    odd: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Grid:
    """One panel's table; `blank` is the row that another judge gets."""

    number: int
    panel: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    blank: Row


@dataclass(slots=True)
class Board:
    """All grids of an envelope, and the switches that the page's script adds up by."""

    grids: list[Grid]
    rules: dict[str, str] = field(default_factory=dict)

    @property
    def wrong(self) -> int:
        """In how many places something cannot be kept."""
        return sum(len(row.wrong) for grid in self.grids for row in grid.rows)

    @property
    def with_totals(self) -> bool:
        """Whether any judge gave a total or a comment, so that the fold opens."""
        rows = [row.form for grid in self.grids for row in grid.rows]
        return any(form[name].value() for form in rows for name in ("total", "comment"))


def score_board(envelope: Envelope, sheets: SheetForms, theirs: Envelope | None = None) -> Board:
    """The grids of what is stored or typed, with what somebody else saved beside it."""
    lines = {} if sheets.is_bound else {str(line.sheet.pk): line for line in envelope.sheets}
    others = list(theirs.sheets) if theirs else []
    rows = [_row(form, lines, others, index) for index, form in enumerate(sheets.forms)]
    grids = []
    for number, panel in enumerate(envelope.panels):
        criteria = [row for row in envelope.criteria if row.panel == panel]
        blank = SheetForm(
            prefix=f"{sheets.prefix}-__prefix__", criteria=criteria, initial={"panel": panel}
        )
        own = tuple(row for row in rows if row.form.judged_by == panel)
        columns = tuple(_columns(criteria, envelope, bound=sheets.is_bound))
        grids.append(Grid(number, panel, columns, own, _row(blank, {}, [], 0)))
    return Board(grids, _switches(envelope.entry.rulebook))


def _columns(criteria: Sequence[Criterion], envelope: Envelope, *, bound: bool) -> Iterator[Column]:
    for criterion in criteria:
        marks = [
            cell.points
            for line in envelope.sheets
            for cell in line.cells
            if cell.criterion == criterion and cell.points is not None
        ]
        mean = sum(marks, Decimal(0)) / len(marks) if marks and not bound else None
        yield Column(criterion, mean)


def _row(
    form: SheetForm,
    lines: Mapping[str, SheetLine],
    others: Sequence[SheetLine],
    index: int,
) -> Row:
    sheet_id = str(form["id"].value())
    line = lines.get(sheet_id)
    odd = {cell.criterion.pk for cell in line.cells if cell.odd} if line else set()
    beside = _theirs(sheet_id, others, index)
    cells = tuple(
        Cell(criterion, field, criterion.pk in odd, _differing(criterion, field, beside))
        for criterion, field in form.cells
    )
    return Row(
        form=form,
        cells=cells,
        total=line.total if line else None,
        why_not=line.why_not if line and line.total is not None else "",
        wrong=tuple(_wrong(form)),
        odd=line.says if line else (),
    )


def _theirs(sheet_id: str, others: Sequence[SheetLine], index: int) -> Theirs | None:
    """The saved sheet that a typed row stands beside: the same one, else the one in its place."""
    same = [line for line in others if str(line.sheet.pk) == sheet_id]
    line = same[0] if same else others[index] if index < len(others) else None
    return None if line is None else {cell.criterion.pk: cell.points for cell in line.cells}


def _differing(criterion: Criterion, field: forms.BoundField, beside: Theirs | None) -> str:
    if beside is None:
        return ""
    points = beside.get(criterion.pk)
    said = "" if points is None else f"{points.normalize():f}"
    try:
        mine = field.field.clean(field.value())
    except forms.ValidationError:
        return said or "blank"
    return "" if mine == points else said or "blank"


def _wrong(form: SheetForm) -> Iterator[str]:
    """What cannot be kept of a row, each with where it stands."""
    names = {f"m{criterion.pk}": criterion.name for criterion in form.criteria}
    names |= {"seat": "Seat", "total": "Total as printed", "comment": "Comment"}
    if form.is_bound:
        for name, errors in form.errors.items():
            yield f"{names.get(name, 'This row')}: {' '.join(map(str, errors))}"


def _switches(rulebook: Rulebook) -> dict[str, str]:
    """What the page's script needs to add up as the server will."""
    averaged = rulebook.missing_sheet != Rulebook.MissingSheet.NONE
    return {
        "expected": str(rulebook.sheets_expected if averaged else 0),
        "scope": rulebook.drop_scope,
        "low": str(rulebook.drop_low),
        "high": str(rulebook.drop_high),
        "aggregate": rulebook.aggregate,
        "factor": f"{rulebook.factor:f}",
        "penalty": "" if rulebook.penalty_mark is None else f"{rulebook.penalty_mark:f}",
        "simple": _simple(rulebook),
    }


def _simple(rulebook: Rulebook) -> str:
    """Whether adding up, dropping whole sheets and dividing is all there is to it: yes or no."""
    ways = (Rulebook.Aggregate.SUM, Rulebook.Aggregate.MEAN)
    hard = (
        rulebook.aggregate not in ways
        or rulebook.drop_scope == Rulebook.DropScope.CRITERION
        or rulebook.outlier_distance is not None
        or rulebook.round_where == Rulebook.RoundWhere.SHEET
    )
    return "no" if hard else "yes"
