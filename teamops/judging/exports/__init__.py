"""Everything of a team as tables: a CSV of each kind, or all of them as sheets of one workbook."""

from teamops.judging.exports.boxes import boxes, contests
from teamops.judging.exports.common import Kind, Table
from teamops.judging.exports.rest import changes, packing_items, payments, todos
from teamops.judging.exports.scores import criterion_totals, posted_fields, score_sheets
from teamops.tabular import csv_bytes, xlsx_bytes
from teamops.teams.models import Team

__all__ = ["KINDS", "Kind", "Table", "csv_of", "workbook_of"]

KINDS = {
    "contests": Kind("Contests", "what, when, where, what became of it, its fee", contests),
    "results": Kind("Boxes and results", "one row for each box: totals, placing, prize", boxes),
    "sheets": Kind(
        "Score sheets", "one row for each judge’s sheet; can be brought in again", score_sheets
    ),
    "criteria": Kind("Criterion totals", "points earned and lost, box by box", criterion_totals),
    "fields": Kind("Posted fields", "everybody’s places and totals, as posted", posted_fields),
    "changes": Kind("Changes", "what you did differently, and from when", changes),
    "payments": Kind("Payments", "fees and deposits, paid and got back", payments),
    "todos": Kind("To-dos", "what was to do, by when and by whom", todos),
    "items": Kind("Packing items", "what you own or use up, and the kits it is in", packing_items),
}


def csv_of(team: Team, kind: str) -> bytes:
    """One kind as CSV."""
    found = KINDS[kind].table(team)
    return csv_bytes(found.headings, found.rows)


def workbook_of(team: Team) -> bytes:
    """All kinds as one XLSX, a sheet each."""
    tables = {kind.title: kind.table(team) for kind in KINDS.values()}
    return xlsx_bytes({title: (table.headings, table.rows) for title, table in tables.items()})
