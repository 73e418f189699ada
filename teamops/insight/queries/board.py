"""The page of a category's ledger: the account, its contests, what changed, the pictures."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.urls import reverse
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from teamops.insight.links import Links
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.days import ContestDay
from teamops.insight.queries.ledger import CategoryLedger, category_ledger, changes_within
from teamops.insight.queries.trend import trend
from teamops.insight.words import short_name
from teamops.judging.models import Change
from teamops.rules.models import Criterion
from teamops.teams.models import Team


@dataclass(frozen=True, slots=True)
class DayRow:
    """One contest of the ledger; `cells` are its mean marks and points lost, ready to print."""

    contest_id: str
    when: str
    name: str
    url: str
    sheets_url: str
    sheets: str
    cells: SafeString
    left_out: bool
    may_leave: bool


@dataclass(frozen=True, slots=True)
class Picture:
    """Where a trend is drawn for a light and a dark page, and what it shows in words."""

    name: str
    words: str
    light: str
    dark: str
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class LedgerBoard:
    """Everything on the page of a ledger; `columns` are criteria by name, and cut short."""

    ledger: CategoryLedger
    columns: tuple[tuple[str, str], ...]
    rows: tuple[DayRow, ...]
    changes: tuple[Change, ...]
    pictures: tuple[Picture, ...]


def ledger_board(team: Team, selection: Selection) -> LedgerBoard:
    """The ledger of a selection with what stands beside it; five queries."""
    ledger = category_ledger(team, selection)
    criteria = tuple(ledger.rulebook.criteria.all())
    counted = [day for day in ledger.days if day.counts]
    changes = changes_within(team, counted)
    links = Links(team)
    rows = [_row(day, criteria, links) for day in reversed(ledger.days)]
    return LedgerBoard(
        ledger=ledger,
        columns=tuple((criterion.name, short_name(criterion.name)) for criterion in criteria),
        rows=tuple(rows),
        changes=tuple(changes),
        pictures=tuple(_pictures(team, selection, criteria, counted, changes)),
    )


def _row(day: ContestDay, criteria: Sequence[Criterion], links: Links) -> DayRow:
    """A contest's line; one with several boxes leads to the contest, where each has its sheets."""
    contest = links.to("contests:show_contest", day.contest_id)
    alone = day.boxes == 1
    return DayRow(
        contest_id=day.contest_id,
        when=f"{day.held_on.day} {day.held_on:%b} {day.held_on.year}",
        name=day.name,
        url=links.to("insight:show_entry", day.first_box) if alone else contest,
        sheets_url=links.to("judging:record_scores", day.first_box) if alone else contest,
        sheets="sheets" if alone else f"{day.boxes} boxes",
        cells=_cells(day, criteria),
        left_out=day.left_out,
        may_leave=not day.why_out,
    )


def _cells(day: ContestDay, criteria: Sequence[Criterion]) -> SafeString:
    if day.why_out:
        return format_html(
            '<td colspan="{}" class="muted words">{}, not counted</td>',
            len(criteria) + 1,
            day.why_out,
        )
    means = [day.accounts[c.pk].mean if c.pk in day.accounts else None for c in criteria]
    lost = sum(account.lost for account in day.accounts.values()) + day.rounding
    numbers: list[tuple[Any]] = [("–" if mean is None else f"{mean:.2f}",) for mean in means]
    return format_html_join("", "<td>{}</td>", [*numbers, (f"{lost:.2f}",)])


def _pictures(
    team: Team,
    selection: Selection,
    criteria: Sequence[Criterion],
    days: Sequence[ContestDay],
    changes: Sequence[Change],
) -> list[Picture]:
    pictures = []
    for criterion in criteria if len(days) > 1 else ():
        drawn = trend(criterion, days, changes)
        url = reverse("insight:draw_trend", args=[team.slug, criterion.pk, drawn.key])
        light, dark = (f"{url}?{selection.query(theme=theme)}" for theme in ("light", "dark"))
        pictures.append(Picture(criterion.name, drawn.words, light, dark, *drawn.size))
    return pictures
