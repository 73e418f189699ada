"""Changes, payments, to-dos and packing items."""

from teamops.calc.units import kg_to_pounds
from teamops.contests.models import Payment, Task
from teamops.inventory.models import Item
from teamops.judging.exports.common import Table, moment, number, yes
from teamops.judging.models import Change
from teamops.teams.models import Team


def changes(team: Team) -> Table:
    """What was done differently, and at which contests it was said otherwise; three queries."""
    rows = Change.objects.for_team(team).select_related("category")
    rows = rows.prefetch_related("uses__contest").order_by("starts_on", "what", "pk")
    headings = ("Change", "From", "Until", "Category", "With it at", "Without it at", "Note")
    return Table(
        headings,
        [
            (
                row.what,
                row.starts_on,
                row.ends_on,
                row.category.name if row.category else "",
                _contests(row, on=True),
                _contests(row, on=False),
                row.note,
            )
            for row in rows
        ],
    )


def _contests(change: Change, *, on: bool) -> str:
    found = [use.contest for use in change.uses.all() if use.on is on]
    found.sort(key=lambda contest: (contest.held_on, contest.name))
    return "; ".join(f"{contest.name} ({contest.held_on})" for contest in found)


def payments(team: Team) -> Table:
    """What was paid for entering and what came back; one query."""
    rows = Payment.objects.for_team(team).select_related(
        "contest", "entry__category", "payer", "other_contest"
    )
    headings = ("Contest", "Date", "What", "Amount", "Currency", "On", "Who paid", "For",
                "Other contest", "Note")  # fmt: skip
    return Table(
        headings,
        [
            (
                row.contest.name,
                row.contest.held_on,
                row.get_kind_display(),
                row.amount,
                team.currency,
                row.paid_on,
                row.payer.name if row.payer else "",
                row.entry.category.name if row.entry else "",
                row.other_contest.name if row.other_contest else "",
                row.note,
            )
            for row in rows.order_by("paid_on", "pk")
        ],
    )


def todos(team: Team) -> Table:
    """What was to do: by a day, or so many minutes before the turn-in; one query."""
    rows = Task.objects.for_team(team).select_related(
        "contest", "entry__category", "person", "done_by"
    )
    headings = ("Contest", "Date", "What", "By", "At", "Minutes before turn-in", "Who", "For",
                "Checklist", "Done at", "Done by", "Caution", "Note")  # fmt: skip
    return Table(
        headings,
        [
            (
                row.contest.name,
                row.contest.held_on,
                row.title,
                row.due_on,
                f"{row.due_at:%H:%M}" if row.due_at else "",
                row.minutes_before,
                row.person.name if row.person else "",
                row.entry.category.name if row.entry else "",
                row.checklist,
                moment(row.done_at, row.contest),
                row.done_as or (row.done_by.name if row.done_by else ""),
                row.caution,
                row.note,
            )
            for row in rows.order_by(
                "contest__held_on", "contest__name", *(Task._meta.ordering or ())
            )
        ],
    )


def packing_items(team: Team) -> Table:
    """What the team owns or uses up, and how much of it each kit takes; three queries."""
    rows = Item.objects.for_team(team).select_related("container")
    rows = rows.prefetch_related("kit_lines__kit").order_by("group", "name")
    us = team.units == Team.Units.US
    weight = f"Weight of one, {'lb' if us else 'kg'}"
    headings = ("Item", "Group", "Counted in", "Gets used up", weight, "Container", "Kits", "Note")
    return Table(
        headings,
        [
            (
                row.name,
                row.group,
                row.unit,
                yes(row.consumable),
                number(kg_to_pounds(row.mass_kg) if us else row.mass_kg),
                row.container.name if row.container else "",
                "; ".join(f"{line.kit.name}: {line}" for line in row.kit_lines.all()),
                row.note,
            )
            for row in rows
        ],
    )
