"""The page of a category's ledger: the account, its contests, what changed, the pictures."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.urls import reverse
from django.utils.html import escape
from django.utils.safestring import SafeString

from teamops.insight.links import Links
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.days import ContestDay
from teamops.insight.queries.ledger import CategoryLedger, category_ledger, changes_within
from teamops.insight.queries.trend import trend
from teamops.insight.words import short_name
from teamops.judging.queries.changes import Pattern
from teamops.rules.models import Criterion
from teamops.teams.models import Team


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
    """Everything on the page of a ledger; `columns` are criteria by name, and cut short.

    `rows` are the `count` contests, the latest first, as table rows ready to print.
    """

    ledger: CategoryLedger
    columns: tuple[tuple[str, str], ...]
    rows: SafeString
    count: int
    changes: tuple[Pattern, ...]
    pictures: tuple[Picture, ...]


def ledger_board(team: Team, selection: Selection) -> LedgerBoard:
    """The ledger of a selection with what stands beside it; six queries."""
    ledger = category_ledger(team, selection)
    counted = [day for day in ledger.days if day.counts]
    changes = changes_within(team, selection.category_id, counted)
    links, width = Links(team), len(ledger.criteria) + 1
    return LedgerBoard(
        ledger=ledger,
        columns=tuple((row.name, short_name(row.name)) for row in ledger.criteria),
        rows=SafeString("".join([_row(day, width, links) for day in reversed(ledger.days)])),
        count=len(ledger.days),
        changes=tuple(changes),
        pictures=tuple(_pictures(team, selection, ledger.criteria, counted, changes)),
    )


def _row(day: ContestDay, width: int, links: Links) -> str:
    """A contest's table row; one of several boxes leads to the contest, where each has its sheets.

    Written here and not in the template, where two hundred rows of ten cells cost more than all the
    rest of the page. The name is the only text that somebody typed.
    """
    name, held_on = escape(day.name), day.held_on
    if day.boxes == 1:
        url = links.to("insight:show_entry", day.first_box)
        sheets_url, sheets = links.to("judging:record_scores", day.first_box), "sheets"
    else:
        url = sheets_url = links.to("contests:show_contest", day.contest_id)
        sheets = f"{day.boxes} boxes"
    out = ' class="out"' if day.left_out else ""
    return (
        f'<tr{out}><th scope="row"><a href="{url}" dir="auto">{name}</a><br>'
        f'<span class="small muted">{held_on.day} {held_on:%b %Y} · <a href="{sheets_url}">{sheets}'
        f'<span class="hear"> of {name}</span></a></span></th>{_cells(day, width)}'
        f"<td>{_tick(day, name)}</td></tr>"
    )


def _cells(day: ContestDay, width: int) -> str:
    """Mean marks and what was lost in all, or why they are not there."""
    if day.why_out:
        return f'<td colspan="{width}" class="muted words">{day.why_out}, not counted</td>'
    means = ["–" if mean is None else f"{mean:.2f}" for mean in day.known.means]
    return f"<td>{'</td><td>'.join(means)}</td><td>{day.lost:.2f}</td>"


def _tick(day: ContestDay, name: str) -> str:
    if day.why_out:
        return ""
    checked = " checked" if day.left_out else ""
    return (
        f'<input type="checkbox" form="choose" name="out" value="{day.contest_id}" '
        f'aria-label="Leave out {name}"{checked}>'
    )


def _pictures(
    team: Team,
    selection: Selection,
    criteria: Sequence[Criterion],
    days: Sequence[ContestDay],
    changes: Sequence[Pattern],
) -> list[Picture]:
    if len(days) < 2:  # one dot is no trend
        return []
    light, dark = (selection.query(theme=theme) for theme in ("light", "dark"))
    pictures = []
    for place, criterion in enumerate(criteria):
        drawn = trend(criterion, place, days, changes)
        url = reverse("insight:draw_trend", args=[team.slug, criterion.pk, drawn.key])
        addresses = (f"{url}?{light}", f"{url}?{dark}")
        pictures.append(Picture(criterion.name, drawn.words, *addresses, *drawn.size))
    return pictures
