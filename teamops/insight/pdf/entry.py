"""The score report of one entry on paper."""

from decimal import Decimal

from django.conf import settings
from django.urls import reverse

from teamops.calc.words import brief
from teamops.contests.queries import today_of
from teamops.insight.bars import WIDTH
from teamops.insight.queries import AccountLine, EntryPage, Grid
from teamops.paper import (
    Bar,
    Block,
    Column,
    Facts,
    Group,
    Heading,
    Kind,
    Note,
    PageSize,
    Row,
    Sheet,
    Table,
    long_day,
    printed_on,
    render,
)
from teamops.teams.models import Team

ACCOUNT = (
    Column("Criterion", share=2),
    Column("most", Kind.NUMBER),
    Column("earned", Kind.NUMBER),
    Column("lost", Kind.NUMBER, strong=True),
    Column("of all lost", Kind.NUMBER),
    Column("", Kind.BAR),
)


def report_pdf(page: EntryPage, team: Team) -> bytes:
    """Contest, marks, account and what is odd, with our total beside the posted one."""
    contest = page.entry.contest
    blocks: list[Block] = [Facts(_facts(page))]
    blocks += [Note(words) for words in (*page.less, page.posted_words) if words]
    if page.lines:
        blocks += [Heading("Where the points went"), Note(page.sentence), _account(page)]
        blocks += [Note(page.shares_note)] * bool(page.shares_note)
    for grid in page.grids:
        blocks += [Heading(f"Score sheets: {grid.panel}" if grid.panel else "Score sheets")]
        blocks.append(_marks(grid))
    blocks += [Note(words) for words in _odd(page)]
    if page.lines:
        blocks += [Heading("How it was worked out"), _working(page.lines)]
    if page.entry.notes:
        blocks += [Heading("Notes"), Note(page.entry.notes)]
    link = reverse("insight:show_entry", args=[team.slug, page.entry.pk])
    return render(
        Sheet(
            title=f"{page.entry.category}: {contest.name}",
            team=team.name,
            subtitle=(f"Score report · {long_day(contest.held_on)}", contest.place),
            blocks=tuple(blocks),
            page_size=PageSize(team.paper),
            link=f"{settings.PUBLIC_URL}{link}",
            printed_on=printed_on(today_of(team)),
        )
    )


def _facts(page: EntryPage) -> tuple[tuple[str, str], ...]:
    entry = page.entry
    pairs = [
        ("Our total", _of_most(page.total, page.most)),
        ("Posted total", brief(entry.official_total) if entry.official_total is not None else ""),
        ("Placing", page.placing),
        ("Rulebook", str(entry.rulebook)),
        ("Cook", str(entry.cook_of_record or "")),
        ("Team number", entry.team_number),
        ("Blind number", entry.blind_number),
        ("Disqualified", (entry.disqualified_why or "yes") if entry.disqualified else ""),
    ]
    return tuple((label, value) for label, value in pairs if value)


def _of_most(total: Decimal | None, most: Decimal | None) -> str:
    if total is None:
        return "cannot be told"
    return f"{brief(total)} of {brief(most)}" if most is not None else brief(total)


def _account(page: EntryPage) -> Table:
    rows: tuple[Row, ...] = (("A full box", _number(page.most), "", "", "", None),)
    rows += tuple(_account_row(line) for line in page.lines)
    if page.rounding:
        rows += (("The rulebook’s rounding", "", "", brief(page.rounding), "", None),)
    if page.docked:
        rows += (("Taken off for lateness", "", "", brief(page.docked), "", None),)
    sums: Row = (
        "Earned", _number(page.most), _number(page.total), _number(page.lost), "", None,
    )  # fmt: skip
    return Table(ACCOUNT, (Group(rows),), sums=(sums,))


def _account_row(line: AccountLine) -> Row:
    bar = Bar(line.bar.length / WIDTH, strong=line.bar.worst)
    return (line.name, *map(_number, (line.most, line.earned, line.lost)), line.share, bar)


def _marks(grid: Grid) -> Table:
    columns = [Column("Judge"), *(Column(name, Kind.NUMBER) for name, _ in grid.columns)]
    columns += [Column("sum", Kind.NUMBER, strong=True)]
    some_out = any(row.standing for row in grid.rows)
    columns += [Column("counts")] * some_out
    rows = []
    for row in grid.rows:
        marks = [_mark(cell.points, counts=cell.counts or bool(row.standing)) for cell in row.cells]
        standing = (row.standing or "yes",) * some_out
        rows.append((row.label, *marks, _number(row.total), *standing))
    return Table(tuple(columns), (Group(tuple(rows)),), grid=True)


def _mark(points: Decimal | None, *, counts: bool) -> str:
    """A mark; in brackets where it alone does not count, its sheet does."""
    if points is None:
        return "–"
    return brief(points) if counts else f"({brief(points)})"


def _odd(page: EntryPage) -> list[str]:
    """What is odd about the table and its sheets, and what judges wrote."""
    words = list(page.says)
    for grid in page.grids:
        for row in grid.rows:
            words += row.says
            if row.comment:
                words.append(f"{row.label} wrote: {row.comment}")
    return words


def _working(lines: tuple[AccountLine, ...]) -> Note:
    return Note("\n".join(f"{line.name}: {line.worked}" for line in lines if line.worked))


def _number(value: Decimal | None) -> str:
    return "–" if value is None else brief(value)
