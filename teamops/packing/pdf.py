"""The packing sheet: by container, with boxes to tick for each stage, weights and sums."""

from collections.abc import Sequence

from django.conf import settings
from django.urls import reverse
from django.utils import timezone

from teamops.packing.models import PackingList
from teamops.packing.queries import Board, BoardBox, BoardRow
from teamops.paper import (
    Block,
    Caution,
    Column,
    Facts,
    Group,
    Kind,
    Note,
    PageSize,
    Row,
    Sheet,
    Table,
    render,
)  # fmt: skip
from teamops.teams.models import Team

COLUMNS = (
    Column("Pack", Kind.TICK),
    Column("Load", Kind.TICK),
    Column("Home", Kind.TICK),
    Column("Amount", Kind.NUMBER, strong=True),
    Column("What", share=2),
    Column("Note", share=1.4),
    Column("Weight", Kind.NUMBER),
)


def list_pdf(packing_list: PackingList, board: Board, team: Team, contests: Sequence[str]) -> bytes:
    """The list as PDF on the team's paper, its boxes ticked as far as it has got; no query.

    `contests` are what it is packed for, a line each.
    """
    blocks: list[Block] = []
    if board.cautions:
        blocks.append(Caution(board.cautions))
    blocks.append(Facts(_numbers(packing_list)))
    if board.boxes:
        blocks.append(_table(board))
    else:
        blocks.append(Note("Nothing is on this list yet."))
    url = reverse("packing:show_list", args=[team.slug, packing_list.pk])
    today = timezone.localdate()
    sheet = Sheet(
        title=packing_list.title,
        team=team.name,
        subtitle=(*contests, f"Packing list, {board.count}"),
        blocks=tuple(blocks),
        page_size=PageSize(team.page_size),
        link=f"{settings.PUBLIC_URL}{url}",
        printed_on=f"Printed {today:%a} {today.day} {today:%b} {today.year}",
    )
    return render(sheet)


def _table(board: Board) -> Table:
    groups = tuple(_group(box) for box in board.boxes)
    return Table(COLUMNS, groups, sums=(_sum("In all", board.mass),))


def _group(box: BoardBox) -> Group:
    """A container's lines; its weight stands in the heading, which saves a row a container."""
    heading = f"{box.name}: {box.apart}" if box.apart else box.name
    heading = f"{heading} · {box.mass}" if box.mass else heading
    return Group(tuple(_row(row) for row in box.rows), heading=heading)


def _row(row: BoardRow) -> Row:
    return (*row.ticks, row.amount, row.name, row.note, row.mass)


def _sum(words: str, mass: str) -> Row:
    return (None, None, None, "", words, "", mass)


def _numbers(packing_list: PackingList) -> tuple[tuple[str, str], ...]:
    """What the amounts were worked out from, counts of none left out."""
    names = (
        "entries", "steaks", "cooks", "people", "days", "judge_bites", "cook_hours", "grills",
        "coolers", "canopies", "vehicles", "trailers",
    )  # fmt: skip
    pairs = []
    for name in names:
        value = getattr(packing_list, name)
        if value:
            label = str(packing_list._meta.get_field(name).verbose_name)  # type: ignore[union-attr]
            pairs.append(
                (
                    label.capitalize(),
                    f"{value.normalize():f}" if name == "cook_hours" else str(value),
                )
            )
    on = sorted(condition.label for condition in packing_list.conditions_on)
    return (*pairs, ("This trip", "; ".join(on) or "nothing special"))
