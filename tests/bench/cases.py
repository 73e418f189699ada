"""The cases: each a page or a press beside a plain one, and what it may cost."""

import io
import warnings
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from functools import cached_property
from typing import Any
from urllib.parse import urlencode

import numpy as np
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext, override_settings
from django.urls import reverse
from django.utils import timezone
from reportlab.lib.pagesizes import letter
from reportlab.platypus import SimpleDocTemplate, Table

from teamops.calc.effects import change_effect
from teamops.calc.scoring import Criterion
from teamops.contests.models import Entry
from teamops.judging.models import Change
from teamops.packing.models import PackingList
from teamops.packing.pdf import list_pdf
from teamops.packing.queries import packing_board
from teamops.packing.stages import Stage
from teamops.paper.fonts import Style
from teamops.teams.models import Team, User
from tests.bench.data import Season, Writer, packing_list
from tests.bench.harness import Call, Goal
from tests.calc.mixed import mixed_model

PAGE = Goal(sqlite=6, postgresql=4)
FIRST = Goal(sqlite=9, postgresql=9)  # nothing kept
TICK = Goal(sqlite=1.5, postgresql=1.5)
PAPER = Goal(sqlite=2, postgresql=2)
EFFECT = Goal(sqlite=1 / 90, postgresql=1 / 90)
SAME = 2e-4  # marks: as near as two ways to the same estimate have to come


@dataclass
class Case:
    """Ours beside the baseline; `small` is ours on little data, asked for the same queries."""

    name: str
    ours: Call
    baseline: Call
    goal: Goal
    small: Call | None = None


class Visitor:
    """A browser without a browser: signed in, asking this process itself."""

    def __init__(self, user: User) -> None:
        self.client = Client(SERVER_NAME="localhost")
        self.client.force_login(user)

    def get(self, url: str) -> Call:
        def visit() -> object:
            answer = self.client.get(url)
            assert answer.status_code == 200, (url, answer.status_code)
            return answer

        return visit

    def press(self, url: str, *pressed: dict[str, str]) -> Call:
        """Send these presses in turn, as htmx and a plain form send them."""
        bodies, turn = [urlencode(fields) for fields in pressed], 0

        def press() -> object:
            nonlocal turn
            turn += 1
            body = bodies[turn % len(bodies)]
            answer = self.client.post(url, body, content_type=TYPED, headers=HTMX)
            assert answer.status_code == 200, (url, answer.status_code)
            return answer

        return press


HTMX = {"HX-Request": "true"}
TYPED = "application/x-www-form-urlencoded"


class Ground:
    """A team of 200 contests and 5,000 sheets among 500 neighbours, and a small one beside it."""

    @cached_property
    def writer(self) -> Writer:
        writer = Writer()
        writer.neighbours(500, contests=2)
        return writer

    @cached_property
    def large(self) -> Season:
        return self.writer.team("Large", contests=200, entries=5, tasks=6)

    @cached_property
    def small(self) -> Season:
        return self.writer.team("Small", contests=20, entries=5, tasks=6)

    @cached_property
    def visitor(self) -> Visitor:
        return Visitor(self.large.owner)

    @cached_property
    def small_visitor(self) -> Visitor:
        return Visitor(self.small.owner)

    @property
    def empty(self) -> Call:
        """The lightest page somebody signed in sees: the frame around a short form."""
        return self.visitor.get(reverse("teams:add_team"))

    def pages(self, name: str, query: str = "") -> tuple[Call, Call]:
        """The same page of the large team and of the small one."""
        large, small = (
            reverse(name, args=[season.team.slug]) + query for season in (self.large, self.small)
        )
        return self.visitor.get(large), self.small_visitor.get(small)

    def lists(self, *lengths: int) -> list[PackingList]:
        return [packing_list(self.large, length) for length in lengths]


def season_home(ground: Ground) -> Case:
    ours, small = ground.pages("insight:show_season")
    return Case("season home, 200 contests", ours, ground.empty, PAGE, small)


def season_anew(ground: Ground) -> Case:
    """The first look after something changed, when nothing that was kept still holds."""
    anew = override_settings(KEEPS_PAGES=False)
    ours, small = map(anew, ground.pages("insight:show_season"))
    return Case("season home, first look", ours, ground.empty, FIRST, small)


def ledger(ground: Ground) -> Case:
    ours, small = ground.pages("insight:show_ledger", "?season=all")
    return Case("ledger, 5,000 sheets", ours, ground.empty, PAGE, small)


def better(ground: Ground) -> Case:
    ours, small = ground.pages("insight:show_better", "?season=all")
    return Case("a better mark, 200 contests", ours, ground.empty, PAGE, small)


def change_page(ground: Ground) -> Case:
    ours, small = _change_pages(ground)
    return Case("a change, 200 contests", ours, ground.empty, PAGE, small)


def _change_pages(ground: Ground) -> list[Call]:
    calls = []
    for season, visitor in (
        (ground.large, ground.visitor),
        (ground.small, ground.small_visitor),
    ):
        change = _changed(season, "Dry brine", days=10)
        url = reverse("insight:show_change", args=[season.team.slug, change.pk])
        calls.append(visitor.get(url))
    return calls


def changes_list(ground: Ground) -> Case:
    for season, count in ((ground.large, 20), (ground.small, 2)):
        for n in range(count):
            _changed(season, f"Change {n}", days=5 + n)
    ours, small = ground.pages("insight:show_changes")
    return Case("list of 20 changes", ours, ground.empty, PAGE, small)


def _changed(season: Season, what: str, days: int) -> Change:
    """A change that began so many days ago; contests are a day apart."""
    starts_on = timezone.localdate() - timedelta(days=days)
    change, _ = Change.objects.get_or_create(team=season.team, what=what, starts_on=starts_on)
    return change


def scores(ground: Ground) -> Case:
    ours, small = ground.pages("insight:show_scores")
    return Case("scores, 1,000 entries", ours, ground.empty, PAGE, small)


def mark_grid(ground: Ground) -> Case:
    large, small = (
        Entry.objects.for_team(season.team).filter(result__isnull=False)[0]
        for season in (ground.large, ground.small)
    )
    page = "judging:record_scores"
    ours = ground.visitor.get(reverse(page, args=[ground.large.team.slug, large.pk]))
    less = ground.small_visitor.get(reverse(page, args=[ground.small.team.slug, small.pk]))
    return Case("mark grid, 5 sheets", ours, ground.empty, PAGE, less)


def packing(ground: Ground) -> Case:
    ours, small = (
        ground.visitor.get(reverse("packing:show_list", args=[ground.large.team.slug, board.pk]))
        for board in ground.lists(300, 30)
    )
    return Case("packing board, 300 lines", ours, ground.empty, PAGE, small)


def tick(ground: Ground) -> Case:
    ours, small = (_tick(ground, board) for board in ground.lists(300, 30))
    return Case("a tick on 300 lines", ours, ground.empty, TICK, small)


def _tick(ground: Ground, board: PackingList) -> Call:
    """Pack a line and unpack it, in turn, as a phone does that has seen everything before."""
    url = reverse("packing:set_line", args=[ground.large.team.slug, board.pk])
    line = str(board.lines.latest("position", "name").pk)
    return ground.visitor.press(url, {"pack": line}, {"unpack": line})


def packing_paper(ground: Ground) -> Case:
    (packed,) = ground.lists(100)
    team: Team = ground.large.team
    board = packing_board(packed, team.units, Stage.PACK)
    rows = [
        ["", "", "", row.amount, row.name, row.note, row.mass]
        for box in board.boxes
        for row in box.rows
    ]
    assert len(rows) == 100
    contests = ("Gravel Bar, Sat 13 Jun 2099, Shinglestrand",)
    ours = lambda: list_pdf(packed, board, team, contests)  # noqa: E731
    return Case("packing sheet, 100 lines", ours, lambda: bare_table(rows), PAPER)


def bare_table(rows: list[list[str]]) -> bytes:
    """The rows as the paper kit's own foundation prints them, in the same font."""
    out = io.BytesIO()
    table = Table(rows, style=[("FONT", (0, 0), (-1, -1), Style.BODY.face.name, 8)])
    SimpleDocTemplate(out, pagesize=letter).build([table])
    return out.getvalue()


def change_of(contests: int) -> Callable[[Ground], Case]:
    """The effect of a change, beside the mixed model of a statistics package on the same sheets."""

    def effect(ground: Ground) -> Case:
        rng = np.random.default_rng(contests)
        criteria = [Criterion(f"k{n}", "", least=Decimal(1), most=Decimal(10)) for n in range(5)]
        tables = [
            np.clip(np.round(2 * (8 + rng.normal(0, 0.5) + rng.normal(0, 0.9, (5, 5)))) / 2, 1, 10)
            for _ in range(contests)
        ]
        changed = [n % 2 == 1 for n in range(contests)]
        model = mixed_model(tables, changed)

        def fit() -> Any:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")  # it warns at the edge of its own search
                return model.fit(reml=True)

        ours = lambda: change_effect(tables, changed, criteria)  # noqa: E731
        theirs = fit().fe_params
        for line in ours().lines:
            told = theirs[f"C(criterion)[{line.key}]:changed"]
            assert abs(told - (line.change or 0)) < SAME, (contests, line.key, told, line.change)
        return Case(f"effect, {contests} contests", ours, fit, EFFECT)

    return effect


CASES: dict[str, Callable[[Ground], Case]] = {
    "season": season_home,
    "season1": season_anew,
    "ledger": ledger,
    "better": better,
    "change": change_page,
    "changes": changes_list,
    "scores": scores,
    "marks": mark_grid,
    "board": packing,
    "tick": tick,
    "paper": packing_paper,
    "change5": change_of(5),
    "change12": change_of(12),
    "change30": change_of(30),
    "change200": change_of(200),
}


def queries(call: Call) -> int:
    """How many queries a call makes, once what is kept in memory is there."""
    call()
    with CaptureQueriesContext(connection) as seen:
        call()
    return len(seen)


def build(only: str | None) -> Iterator[Case]:
    """The cases in turn, on pages that are kept as where people use them."""
    ground = Ground()
    with override_settings(KEEPS_PAGES=True):
        for name, make in CASES.items():
            if only in (None, name):
                case = make(ground)
                if connection.vendor == "postgresql":  # as its own upkeep does soon after a load
                    with connection.cursor() as cursor:
                        cursor.execute("ANALYZE")
                yield case
