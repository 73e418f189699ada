"""The score table as its page shows it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from django import forms

from teamops.contests.models import Entry
from teamops.judging.forms import RoundForms, SheetForm, SheetForms
from teamops.judging.forms.rounds import RoundForm
from teamops.judging.paper import PaperMark
from teamops.judging.queries import Envelope, SheetLine
from teamops.rules.models import Criterion, Rulebook

Theirs = Mapping[int, PaperMark]


@dataclass(frozen=True, slots=True)
class Column:
    """
    A criterion as the head of its column; `mean` is over the marks that are saved.

    `least`, `most` and `step` are written for the page's script, empty where the scale is open.
    """

    criterion: Criterion
    mean: Decimal | None
    least: str = ""
    most: str = ""
    step: str = ""


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
    """
    One panel's table in one round; `blank` is the row that another judge gets.

    `expected` is how many sheets an average could stand in for, 0 where none does. `heading` opens
    a round where there are several: its form is asked once. `add` names the press for a row more.
    """

    number: int
    panel: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    blank: Row
    round: int = 0
    expected: int = 0
    heading: RoundForm | None = None
    total: Decimal | None = None

    @property
    def add(self) -> str:
        return f"add_to_{self.round}" if self.round else "add"


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
        names = ("total", "comment", "co_judged")
        return any(form[name].value() for form in rows for name in names)


def panel_judges(rulebook: Rulebook, panels: Sequence[str]) -> dict[str, int]:
    """How many judges each panel has."""
    own = {panel["name"]: panel["expected"] for panel in rulebook.panels}
    return {panel: own.get(panel, rulebook.sheets_expected) for panel in panels}


def score_board(
    envelope: Envelope,
    sheets: SheetForms,
    rounds: RoundForms,
    theirs: Envelope | None = None,
) -> Board:
    """The grids of what is stored or typed, with what somebody else saved beside it."""
    added_up = None if envelope.total is None else envelope.total + envelope.docked
    rulebook = envelope.entry.rulebook
    judges = panel_judges(rulebook, envelope.panels)
    averaged = rulebook.missing_sheet != Rulebook.MissingSheet.NONE
    lines = {} if sheets.is_bound else {str(line.sheet.pk): line for line in envelope.sheets}
    others = list(theirs.sheets) if theirs else []
    rows = [_row(form, lines, others, index) for index, form in enumerate(sheets.forms)]
    grids = []
    tables = [(place, panel) for place in range(len(rounds)) for panel in envelope.panels]
    for number, (place, panel) in enumerate(tables):
        criteria = [row for row in envelope.criteria if row.panel == panel]
        start = {"panel": panel, "round": place}
        blank = SheetForm(prefix=f"{sheets.prefix}-__prefix__", criteria=criteria, initial=start)
        last = len(rounds) - 1
        own = tuple(
            row
            for row in rows
            if row.form.judged_by == panel and min(row.form.judged_in, last) == place
        )
        first = panel == envelope.panels[0] and len(rounds) > 1
        grids.append(
            Grid(
                number=number,
                panel=panel,
                columns=tuple(_columns(criteria, own, lines)),
                rows=own,
                blank=_row(blank, {}, [], 0),
                round=place,
                expected=judges[panel] if averaged else 0,
                heading=rounds.forms[place] if first else None,
                total=added_up if len(tables) == 1 and not sheets.is_bound else None,
            )
        )
    return Board(grids, _switches(envelope.entry))


def _columns(
    criteria: Sequence[Criterion], rows: Sequence[Row], lines: Mapping[str, SheetLine]
) -> Iterator[Column]:
    sums: dict[int, list[Decimal]] = {}
    for line in (lines.get(str(row.form["id"].value())) for row in rows):
        for cell in line.cells if line else ():
            if cell.points is not None:
                sums.setdefault(cell.criterion.pk, []).append(cell.points)
    for criterion in criteria:
        marks = sums.get(criterion.pk, [])
        yield Column(
            criterion,
            mean=sum(marks, Decimal(0)) / len(marks) if marks else None,
            least=_bare(criterion.least),
            most=_bare(criterion.most),
            step=_bare(criterion.step),
        )


def _bare(value: Decimal | None) -> str:
    """A number for the page's script, or nothing."""
    return "" if value is None else f"{value.normalize():f}"


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
    if line is None:
        return None
    return {cell.criterion.pk: PaperMark(cell.points, cell.said) for cell in line.cells}


def _differing(criterion: Criterion, field: forms.BoundField, beside: Theirs | None) -> str:
    if beside is None:
        return ""
    points = beside.get(criterion.pk, PaperMark())
    said = str(field.field.prepare_value(points))
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


def _switches(entry: Entry) -> dict[str, str]:
    """What the page's script needs to add up as the server will."""
    rulebook = entry.rulebook
    return {
        "scope": rulebook.drop_scope,
        "low": str(rulebook.drop_low),
        "high": str(rulebook.drop_high),
        "aggregate": rulebook.aggregate,
        "factor": f"{rulebook.factor:f}",
        "penalty": "" if rulebook.penalty_mark is None else f"{rulebook.penalty_mark:f}",
        "rounds": rulebook.rounds,
        "simple": _simple(entry),
    }


def _simple(entry: Entry) -> str:
    """Whether adding up, dropping whole sheets and dividing is all there is to it: yes or no."""
    rulebook = entry.rulebook
    ways = (Rulebook.Aggregate.SUM, Rulebook.Aggregate.MEAN)
    hard = (
        rulebook.aggregate not in ways
        or rulebook.drop_scope == Rulebook.DropScope.CRITERION
        or rulebook.outlier_distance is not None
        or rulebook.round_where == Rulebook.RoundWhere.SHEET
        or entry.late in (Entry.Late.DOCKED, Entry.Late.ZERO, Entry.Late.OUT)
    )
    return "no" if hard else "yes"
