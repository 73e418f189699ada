"""A packing list as its page and its sheet show it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from uuid import UUID
from zlib import crc32

from django.db.models import QuerySet

from teamops.calc.units import show_mass
from teamops.inventory.models import Container
from teamops.packing.cautions import Load, cautions
from teamops.packing.models import PackingLine, PackingList, ShoppingLine
from teamops.packing.queries.rows import Around, BoardRow, LineFacts, ListState, board_row
from teamops.packing.queries.sums import Sums, Tab, box_count, sum_up, tabs_of
from teamops.packing.stages import WORDS, Stage
from teamops.teams.models import User

APART = {
    Container.Kind.RAW: "raw food only",
    Container.Kind.CHEMICAL: "chemicals only",
    Container.Kind.FUEL: "fuel and gas only",
}


@dataclass(frozen=True, slots=True)
class BoardBox:
    """A container with its lines; `mark` names its count on the page."""

    mark: str
    name: str
    apart: str
    count: str
    mass: str
    rows: tuple[BoardRow, ...]


@dataclass(frozen=True, slots=True)
class Board:
    """What the packing page and the packing sheet both show."""

    list_id: UUID
    title: str
    stage: Stage
    tabs: tuple[Tab, ...]
    count: str
    left: int
    mass: str
    since: int
    boxes: tuple[BoardBox, ...]
    left_out: tuple[BoardRow, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BoardNews:
    """What a tick or a second phone's tick changes on a board: rows, counts, and how new it is.

    `reshaped` says that lines came or went since: then the page is to be loaded again.
    """

    rows: tuple[BoardRow, ...]
    tabs: tuple[Tab, ...]
    count: str
    boxes: tuple[tuple[str, str], ...]
    since: int
    reshaped: bool


def packing_board(
    packing_list: PackingList,
    units: str,
    stage: Stage | None = None,
    *,
    only_left: bool = False,
    may_press: bool = True,
) -> Board:
    """The list as it stands, container by container, for a stage; four queries.

    Without a stage it is the first that has something left. `only_left` keeps the lines that are
    not done; counts and weights stay those of the whole list. Without `may_press` no row asks for
    a press.
    """
    sums = sum_up(packing_list.pk)
    tabs = tabs_of(sums)
    stage = stage or next((tab.stage for tab in tabs if tab.left), Stage.PACK)
    lines = _facts(packing_list.lines.all(), stage)
    around = _around(lines, stage, units, may_press=may_press)
    boxes, loads = [], []
    for name, group in _by_box(line for line in lines if line.amount).items():
        load = _load(group)
        loads.append(load)
        rows = [line for line in group if not (only_left and line.is_done(stage) and not line.gone)]
        if rows:
            boxes.append(_box(name, rows, load, sums, around))
    tab = tabs[list(Stage).index(stage)]
    return Board(
        list_id=packing_list.pk,
        title=packing_list.title,
        stage=stage,
        tabs=tabs,
        count=f"{tab.count} {WORDS[stage].done}",
        left=tab.left,
        mass=show_mass(sum((load.mass_kg for load in loads), Decimal(0)), units),
        since=packing_list.state,
        boxes=tuple(boxes),
        left_out=tuple(board_row(line, around) for line in lines if not line.amount),
        cautions=cautions(loads, units),
    )


def board_news(
    packing_list: PackingList | ListState,
    units: str,
    stage: Stage,
    since: int,
    *,
    may_press: bool = True,
    known: Mapping[int, str] | None = None,
    ticked: LineFacts | None = None,
) -> BoardNews:
    """What is new on a board since its state was `since`; four queries, one if nothing is.

    The list must be as fresh as what is asked for: its state is what the answer is new up to.
    People whose names are `known` already are not asked for again. Nor is the line that was
    `ticked` last, where nothing else is new.
    """
    if ticked and since == packing_list.state - 1:
        lines = [ticked] if ticked.amount and ticked.shown(stage) else []
    else:
        touched = PackingLine.objects.filter(packing_list=packing_list.pk, touched__gt=since)
        lines = _facts(touched.filter(amount__gt=0), stage)
    fresh, reshaped = packing_list.state, packing_list.shape > since
    if not lines or reshaped:
        return BoardNews((), (), "", (), fresh, reshaped=reshaped)
    sums = sum_up(packing_list.pk)
    tabs = tabs_of(sums)
    around = _around(lines, stage, units, may_press=may_press, known=known)
    tab = tabs[list(Stage).index(stage)]
    names = dict.fromkeys(line.container for line in lines)
    return BoardNews(
        rows=tuple(board_row(line, around) for line in lines),
        tabs=tabs,
        count=f"{tab.count} {WORDS[stage].done}",
        boxes=tuple((_mark(name), box_count(sums, name, stage)) for name in names),
        since=fresh,
        reshaped=False,
    )


def _facts(lines: QuerySet[PackingLine], stage: Stage) -> list[LineFacts]:
    """Those of the lines that a stage shows, in loading order; one query."""
    shown = lines.filter(consumable=False) if stage is Stage.HOME else lines
    return [LineFacts(*row) for row in shown.values_list(*LineFacts._fields)]


def _by_box(lines: Iterable[LineFacts]) -> dict[str, list[LineFacts]]:
    boxes: dict[str, list[LineFacts]] = {}
    for line in lines:
        boxes.setdefault(line.container, []).append(line)
    return boxes


def _around(
    lines: Iterable[LineFacts],
    stage: Stage,
    units: str,
    *,
    may_press: bool,
    known: Mapping[int, str] | None = None,
) -> Around:
    people = {
        person
        for line in lines
        for person in (line.packed_by, line.loaded_by, line.home_by)
        if person is not None
    }
    names = dict(known or {})
    if others := people - names.keys():
        rows = User.objects.filter(pk__in=others)
        names |= {user.pk: user.get_short_name() for user in rows}
    short = [line.pk for line in lines if line.have is not None]
    return Around(stage, units, may_press, names, _to_buy(short) if short else frozenset())


def _to_buy(short: list[UUID]) -> frozenset[UUID]:
    """Those of the short lines that are on the shopping list."""
    opened = ShoppingLine.objects.filter(packing_line__in=short, bought_at=None)
    found = opened.order_by().values_list("packing_line_id", flat=True)
    return frozenset(pk for pk in found if pk)


def _load(group: list[LineFacts]) -> Load:
    first = group[0]
    load = Load(first.container or "in no container", first.container_whole, first.container_kind)
    for line in group:
        if not line.gone:
            load.add(line.name, line.amount, line.unit, line.mass_kg)
    return load


def _box(
    name: str,
    rows: list[LineFacts],
    load: Load,
    sums: Sums,
    around: Around,
) -> BoardBox:
    return BoardBox(
        mark=_mark(name),
        name=name or "In no container",
        apart=APART.get(Container.Kind(load.kind), ""),
        count=box_count(sums, name, around.stage),
        mass=show_mass(load.mass_kg, around.units) if load.mass_kg else "",
        rows=tuple(board_row(line, around) for line in rows),
    )


def _mark(name: str) -> str:
    return f"box-{crc32(name.encode()):08x}"
