"""The prep sheet on paper."""

from django.conf import settings
from django.urls import reverse

from teamops.contests.queries import PrepBox, PrepRow, PrepSheet, today_of
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
    printed_on,
    render,
)
from teamops.teams.models import Team

COLUMNS = (
    Column("", Kind.TICK),
    Column("before", Kind.NUMBER),
    Column("clock", Kind.NUMBER, strong=True),
    Column("What", share=3),
    Column("target", Kind.NUMBER),
    Column("Who", share=1),
)


def prep_pdf(sheet: PrepSheet, team: Team) -> bytes:
    """The day's steps box by box, with their cautions, to hang on the canopy."""
    contest = sheet.contest
    day = contest.held_on
    blocks: list[Block] = [Facts(_facts(sheet))]
    if sheet.clocks:
        blocks.append(Note(sheet.clocks))
    if sheet.cautions:
        blocks.append(Caution(sheet.cautions))
    if sheet.boxes:
        blocks.append(Table(COLUMNS, tuple(_group(box) for box in sheet.boxes)))
    else:
        blocks.append(Note("No step yet: add them on the prep page."))
    link = reverse("contests:show_prep", args=[team.slug, contest.pk])
    return render(
        Sheet(
            title=f"Prep sheet: {contest.name}",
            team=team.name,
            subtitle=(f"{day:%A}, {day.day} {day:%B %Y}", contest.place),
            blocks=tuple(blocks),
            page_size=PageSize(team.paper),
            link=f"{settings.PUBLIC_URL}{link}",
            printed_on=printed_on(today_of(team)),
        )
    )


def _facts(sheet: PrepSheet) -> tuple[tuple[str, str], ...]:
    windows = tuple((box.title, box.window or "no window yet") for box in sheet.boxes)
    return (*windows, ("Clock", sheet.contest.time_zone))


def _group(box: PrepBox) -> Group:
    # the window stands above: in one line with a right-to-left name its times would be reordered
    return Group(tuple(map(_row, box.rows)), box.title)


def _row(row: PrepRow) -> Row:
    return (row.done, f"{row.minutes} min", row.at, row.what, row.target, row.person)
