"""Score sheets with their marks, what each criterion came to, and the fields that were posted."""

from collections.abc import Iterable, Mapping

from django.db.models import Prefetch

from teamops.contests.models import Entry
from teamops.judging.exports.boxes import IN_ORDER
from teamops.judging.exports.common import (
    Table,
    cook_of,
    degrees,
    number,
    placing_of,
    unit_of,
    yes,
)
from teamops.judging.models import CriterionResult, CriterionTotal, FieldLine, Mark, ScoreSheet
from teamops.tabular import Cell
from teamops.teams.models import Team

BOX = ("Contest", "Date", "Location", "Category", "Rulebook", "Box number", "Team number",
       "Cook of record")  # fmt: skip
SHEET = ("Round", "Panel", "Table", "Judge")
Row = list[Cell]


def score_sheets(team: Team) -> Table:
    """
    A row for each judge’s sheet, a column for each criterion of any book; four queries.

    What is said of the box stands on its first row, and a box without sheets has one. The marks
    are as the paper says them. Bringing the table in again gives the same sheets and totals.
    """
    entries = list(_with_sheets(team))
    sheets = {entry.pk: list(entry.sheets.all()) for entry in entries}
    names = _names(mark.criterion.name for own in sheets.values() for sheet in own
                   for mark in sheet.marks.all())  # fmt: skip
    given = _names(total.criterion.name for entry in entries
                   for total in entry.criterion_totals.all())  # fmt: skip
    unit = unit_of(team)
    headings = [
        *BOX, *SHEET, *names, "Judge total", "Comment", *(f"{name} total" for name in given),
        "Posted total", "Placing", "Field size", "Prize", "Disqualified",
        f"Pull temperature {unit}", f"Last seen temperature {unit}", f"Peak temperature {unit}",
        "Doneness as seen", "Notes",
    ]  # fmt: skip
    rows: list[Row] = []
    for entry in entries:
        box = _box(entry)
        results = [*_totals(entry, given), *_result(entry, team)]
        papers: list[ScoreSheet | None] = [*sheets[entry.pk]] or [None]
        for sheet in papers:
            rows.append([*box, *_sheet(sheet, names), *results])
            results = [None] * len(results)
    return Table(headings, rows)


def _with_sheets(team: Team) -> Iterable[Entry]:
    marks = Mark.objects.select_related("criterion").order_by("criterion__order", "pk")
    sheets = ScoreSheet.objects.order_by("position", "pk").prefetch_related(
        Prefetch("marks", marks)
    )
    totals = CriterionTotal.objects.select_related("criterion").order_by("criterion__order", "pk")
    rows = Entry.objects.for_team(team).order_by(*IN_ORDER)
    rows = rows.select_related("contest", "category", "rulebook", "cook_of_record")
    return rows.prefetch_related(Prefetch("sheets", sheets), Prefetch("criterion_totals", totals))


def _names(names: Iterable[str]) -> list[str]:
    """Each name once, in the order they come; names that differ only in case are one."""
    found: dict[str, str] = {}
    for name in names:
        found.setdefault(name.casefold(), name)
    return list(found.values())


def _box(entry: Entry) -> Row:
    contest = entry.contest
    return [
        contest.name,
        contest.held_on,
        contest.place,
        entry.category.name,
        str(entry.rulebook),
        entry.blind_number,
        entry.team_number,
        cook_of(entry),
    ]


def _sheet(sheet: ScoreSheet | None, names: list[str]) -> Row:
    if sheet is None:
        return [None] * (len(SHEET) + len(names) + 2)
    marks = {mark.criterion.name.casefold(): mark for mark in sheet.marks.all()}
    return [
        sheet.round,
        sheet.panel,
        sheet.table,
        sheet.seat,
        *(_mark(marks, name) for name in names),
        number(sheet.given_total),
        sheet.comment,
    ]


def _mark(marks: Mapping[str, Mark], name: str) -> Cell:
    mark = marks.get(name.casefold())
    return None if mark is None else mark.said or number(mark.points)


def _totals(entry: Entry, given: list[str]) -> Row:
    points = {one.criterion.name.casefold(): one.points for one in entry.criterion_totals.all()}
    return [number(points.get(name.casefold())) for name in given]


def _result(entry: Entry, team: Team) -> Row:
    return [
        number(entry.official_total),
        placing_of(entry),
        entry.field_size,
        entry.prize_owed,
        yes(entry.disqualified),
        degrees(entry.pull_c, team),
        degrees(entry.last_seen_c, team),
        degrees(entry.peak_c, team),
        entry.doneness_seen,
        entry.notes,
    ]


def criterion_totals(team: Team) -> Table:
    """What each criterion came to in each box, and what an organiser gave for it; two queries."""
    path = "result__entry"
    lines = CriterionResult.objects.for_team(team).select_related(
        "criterion", f"{path}__contest", f"{path}__category"
    )
    lines = lines.order_by(
        f"{path}__contest__held_on", f"{path}__contest__name", f"{path}__category__name",
        f"{path}__pk", "criterion__order", "pk",
    )  # fmt: skip
    given = {
        (total.entry_id, total.criterion_id): total.points
        for total in CriterionTotal.objects.for_team(team).order_by("pk")
    }
    headings = ("Contest", "Date", "Category", "Box number", "Criterion", "Judges", "Mean mark",
                "Points earned", "Points possible", "Points lost", "Criterion total")  # fmt: skip
    return Table(
        headings,
        [
            (
                entry.contest.name,
                entry.contest.held_on,
                entry.category.name,
                entry.blind_number,
                line.criterion.name,
                line.judges,
                number(line.mean),
                number(line.earned),
                number(line.most),
                number(line.lost),
                number(given.get((entry.pk, line.criterion_id))),
            )
            for line in lines
            for entry in [line.result.entry]
        ],
    )


def posted_fields(team: Team) -> Table:
    """Every line of every posted list; one query."""
    rows = FieldLine.objects.for_team(team).select_related("posting__contest", "posting__category")
    rows = rows.order_by(
        "posting__contest__held_on", "posting__contest__name", "posting__category__name",
        "posting__posted_on", "posting__recorded_at", "posting_id", "order", "pk",
    )  # fmt: skip
    headings = ("Contest", "Date", "Category", "Round", "Posted on", "Place", "Who", "Number",
                "Table", "Total", "Note", "Ours")  # fmt: skip
    return Table(
        headings,
        [
            (
                line.posting.contest.name,
                line.posting.contest.held_on,
                line.posting.category.name,
                line.posting.round,
                line.posting.posted_on,
                line.placing,
                line.name,
                line.number,
                line.table,
                number(line.total),
                line.note,
                yes(line.entry_id is not None),
            )
            for line in rows
        ],
    )
