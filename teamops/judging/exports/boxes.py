"""Contests, and every box with what it got."""

from django.db.models import F

from teamops.contests.models import Contest, Entry
from teamops.judging.exports.common import (
    Table,
    cook_of,
    degrees,
    moment,
    number,
    placing_of,
    unit_of,
    yes,
)
from teamops.judging.models import Result
from teamops.tabular import Cell
from teamops.teams.models import Team

IN_ORDER = (
    "contest__held_on",
    "contest__name",
    "category__ancillary",
    "category__name",
    F("window_closes_at").asc(nulls_last=True),
    "pk",
)


def contests(team: Team) -> Table:
    """Every contest and practice; one query."""
    rows = Contest.objects.for_team(team).order_by("held_on", "name", "pk")
    headings = (
        "Contest", "Date", "Location", "Kind", "Contest state", "Why", "Entry fee", "Fee paid on",
        "Entry deadline", "Deposit", "Drive, minutes", f"Air {unit_of(team)}", "Rain",
        "Strong wind", "Site notes", "Notes",
    )  # fmt: skip
    return Table(
        headings,
        [
            (
                row.name,
                row.held_on,
                row.place,
                row.get_kind_display(),
                row.get_state_display(),
                row.state_why,
                row.fee,
                row.fee_paid_on,
                row.deadline_on,
                row.deposit,
                row.drive_minutes,
                degrees(row.air_c, team),
                row.rain,
                row.wind,
                row.site_notes,
                row.notes,
            )
            for row in rows
        ],
    )


def boxes(team: Team) -> Table:
    """Every box; one query."""
    rows = Entry.objects.for_team(team).order_by(*IN_ORDER)
    rows = rows.select_related("contest", "category", "rulebook", "cook_of_record", "result")
    unit = unit_of(team)
    headings = (
        "Contest", "Date", "Category", "Rulebook", "Box number", "Team number", "Cook of record",
        "Cooked for", "What became of it", "Turned in at", "Late", "Points taken off", "Our total",
        "A full box", "Known by", "Posted total", "Placing", "Field size", "Tie settled", "Prize",
        "Prize received", "Qualifies for", "Disqualified", "Why",
        f"Pull temperature {unit}", f"Last seen temperature {unit}", f"Peak temperature {unit}",
        "Doneness as seen", "Notes",
    )  # fmt: skip
    return Table(headings, [_box(row, team) for row in rows])


def _box(row: Entry, team: Team) -> tuple[Cell, ...]:
    result: Result | None = getattr(row, "result", None)
    return (
        row.contest.name,
        row.contest.held_on,
        row.category.name,
        str(row.rulebook),
        row.blind_number,
        row.team_number,
        cook_of(row),
        row.cooked_for,
        row.get_state_display() if row.state else "",
        moment(row.turned_in_at, row.contest),
        row.get_late_display() if row.late else "",
        number(row.late_points),
        number(result.total) if result else None,
        number(result.most) if result else None,
        result.get_basis_display() if result else "",
        number(row.official_total),
        placing_of(row),
        row.field_size,
        row.get_tie_way_display() if row.tie_way else "",
        row.prize_owed,
        row.prize_received,
        row.qualifies_for,
        yes(row.disqualified),
        row.disqualified_why,
        degrees(row.pull_c, team),
        degrees(row.last_seen_c, team),
        degrees(row.peak_c, team),
        row.get_doneness_seen_display() if row.doneness_seen else "",
        row.notes,
    )
