"""A season of one category on paper, readable in two minutes."""

from django.conf import settings
from django.urls import reverse

from teamops.contests.queries import today_of
from teamops.insight.bars import WIDTH, Amount, bars
from teamops.insight.queries.ledger import CategoryLedger
from teamops.insight.queries.report import SeasonReport
from teamops.paper import (
    Bar,
    Block,
    Chart,
    Column,
    Group,
    Heading,
    Kind,
    Note,
    PageSize,
    Sheet,
    Table,
    printed_on,
    render,
    short_day,
)
from teamops.teams.models import Team

RESULTS = (
    Column("", Kind.NUMBER),
    Column("Contest", share=2),
    Column("Day"),
    Column("Total", Kind.NUMBER),
    Column("of a full box", Kind.NUMBER),
    Column("Placing", Kind.NUMBER),
)
LOSSES = (
    Column("Criterion", share=2),
    Column("mean mark", Kind.NUMBER),
    Column("lost a contest", Kind.NUMBER, strong=True),
    Column("likely range", Kind.NUMBER),
    Column("", Kind.BAR),
)
HALVES = (
    Column("Criterion"),
    Column("first", Kind.NUMBER),
    Column("last", Kind.NUMBER),
    Column("moved", share=3),
)

CHANGES = (
    Column("Change", share=2),
    Column("since"),
    Column("what its scores tell"),
    Column("told from"),
)


def season_report_pdf(report: SeasonReport, team: Team) -> bytes:
    """Headline and what to work on first, then what it rests on."""
    selection, ledger = report.selection, report.ledger
    blocks: list[Block] = [Note(report.headline)]
    if report.work_on:
        blocks += [Heading("What to work on next")]
        blocks += [Note(f"{n}. {words}") for n, words in enumerate(report.work_on, start=1)]
    blocks += [Heading("Results"), *_results(report)]
    if ledger.rows:
        blocks += [Heading("Where the points went"), Note(ledger.sentence), _losses(ledger)]
        blocks += [Note(f"{ledger.span}. {_range_note(ledger)}".strip())]
        blocks += [Note(words) for words in (report.worth, report.luck) if words]
    if report.trends:
        blocks += [Heading("Better or worse as the season went"), Note(f"{report.halves}. {MIXED}")]
        rows = tuple((row.name, row.first, row.second, row.words) for row in report.trends)
        blocks.append(Table(HALVES, (Group(rows),)))
    if report.changes:
        told = tuple((row.what, row.days, row.verdict, row.told_from) for row in report.changes)
        blocks += [Heading("What we changed"), Note(f"{ALL_SEASONS} {report.changes_luck}".strip())]
        blocks += [Table(CHANGES, (Group(told),))]
    if report.finish:
        blocks += [Heading("Finish temperature"), Note(report.finish)]
        blocks += [Note(words) for words in report.finish_cautions]
    link = reverse("insight:show_report", args=[team.slug])
    return render(
        Sheet(
            title=f"{selection.category}, {selection.span}",
            team=team.name,
            subtitle=("Season report", f"Judged by {selection.rulebook}"),
            blocks=tuple(blocks),
            page_size=PageSize(team.paper),
            link=f"{settings.PUBLIC_URL}{link}?{selection.query()}",
            printed_on=printed_on(today_of(team)),
        )
    )


ALL_SEASONS = "Compared over all contests of the category, not this season’s alone."
MIXED = "A season mixes practice, weather and judges: this says whether marks moved, not why."


def _range_note(ledger: CategoryLedger) -> str:
    if not ledger.has_ranges:
        return ""
    return "The likely range holds the usual loss in 8 of 10 cases."


def _results(report: SeasonReport) -> list[Block]:
    rows = tuple(
        (row.number, _with_remark(row.contest, row.remark), short_day(row.held_on), row.total,
         row.percent, row.placing or "–")
        for row in report.rows
    )  # fmt: skip
    blocks: list[Block] = [Table(RESULTS, (Group(rows),))]
    if len(report.shares) > 1:
        low = 10 * (min(share for _, share in report.shares) // 10)
        low = min(max(low, 0.0), 90.0)
        scale = tuple((value, f"{value:.0f} %") for value in (low, (low + 100) / 2, 100.0))
        blocks += [Note("Totals in percent of a full box, by the number of the contest above.")]
        blocks += [Chart(report.shares, low, 100.0, scale)]
    return blocks


def _with_remark(contest: str, remark: str) -> str:
    return f"{contest} ({remark})" if remark else contest


def _losses(ledger: CategoryLedger) -> Table:
    drawn = bars([Amount(row.lost, row.low, row.high, row.worst) for row in ledger.rows])
    rows = tuple(
        (
            f"{row.name}{' (costs most)' if row.worst else ''}",
            "" if row.mean is None else f"{row.mean:.2f}",
            f"{row.lost:.2f}",
            "" if row.low is None or row.high is None else f"{row.low:.1f} to {row.high:.1f}",
            _bar(bar.length, bar.low, bar.high, strong=row.worst),
        )
        for row, bar in zip(ledger.rows, drawn, strict=True)
    )
    sums: tuple[tuple[str, str, str, str, None], ...] = ()
    if ledger.rounding:
        sums += (("The rulebook’s rounding", "", f"{ledger.rounding:.2f}", "", None),)
    if ledger.docked:
        sums += (("Taken off for lateness", "", f"{ledger.docked:.2f}", "", None),)
    sums += (("Lost in all", "", f"{ledger.lost:.2f}", "", None),)
    return Table(LOSSES, (Group(rows),), sums)


def _bar(length: float, low: float | None, high: float | None, *, strong: bool) -> Bar:
    if low is None or high is None:
        return Bar(length / WIDTH, strong=strong)
    return Bar(length / WIDTH, low / WIDTH, high / WIDTH, strong=strong)
