"""What surrounds the demo season's marks: money, papers, checklists, the day, posted lists."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any
from uuid import uuid5

from teamops.calc.reading import field_rows, read
from teamops.contests.actions.box import keep_lid_check
from teamops.contests.actions.checklists import add_starter_checklists, put_checklist
from teamops.contests.actions.meeting import say_word
from teamops.contests.actions.papers import save_paper
from teamops.contests.actions.payments import save_payment
from teamops.contests.actions.turn_in import set_late, turn_in
from teamops.contests.models import ChecklistTemplate, Contest, Entry, Payment, TeamPaper
from teamops.contests.queries.box import box_questions
from teamops.contests.queries.meeting import stands
from teamops.insight.demo.season import HOME, Season
from teamops.judging.actions.postings import keep_posting
from teamops.judging.actions.rival import how_sheets_stand, keep_rival_sheets
from teamops.judging.models import Posting

STEP = Decimal("0.5")


def add_paperwork(season: Season, record: Mapping[str, Any], today: date) -> None:
    """Everything beside the marks that a stranger should find in the demo."""
    for row in record["papers"]:
        _paper(season, row, today)
    for row in record["payments"]:
        _payment(season, row, today)
    add_starter_checklists(team=season.team)
    for row in record["checklists"]:
        checklist = ChecklistTemplate.objects.for_team(season.team).get(name=row["name"])
        contest = season.contests[row["contest"]]
        put_checklist(contest=contest, checklist=checklist, person=season.people[row["who"]])
    for row in record["days"]:
        _day(season, row)
    for row in record["posted"]:
        _posted(season, row, record["field"])


def _paper(season: Season, row: Mapping[str, Any], today: date) -> None:
    expires_on = None
    if "days_before" in row:
        day = season.contests[row["contest"]].held_on
        expires_on = day - timedelta(days=row["days_before"])
    elif "in_days" in row:
        expires_on = today + timedelta(days=row["in_days"])
    save_paper(
        paper=TeamPaper(
            team=season.team,
            kind=row["kind"],
            name=row.get("name", ""),
            holder=season.people[row["who"]] if "who" in row else None,
            number=row.get("number", ""),
            expires_on=expires_on,
            note=row.get("note", ""),
        )
    )


def _payment(season: Season, row: Mapping[str, Any], today: date) -> None:
    contest = _contest(season, row)
    save_payment(
        payment=Payment(
            contest=contest,
            kind=row["kind"],
            amount=Decimal(row["amount"]),
            paid_on=min(contest.held_on - timedelta(days=row["days_before"]), today),
            payer=season.people[row["who"]],
            note=row.get("note", ""),
        )
    )


def _contest(season: Season, row: Mapping[str, Any]) -> Contest:
    """The contest as it is now: what came before may have changed it."""
    return Contest.objects.get(pk=season.contests[row["contest"]].pk)


def _day(season: Season, row: Mapping[str, Any]) -> None:
    """A contest's day: words of its meeting, the look at the box, the turn-in."""
    contest = _contest(season, row)
    for line, value in row["meeting"].items():
        by = season.people[row["meeting_by"]]
        seen = stands(contest, line, None)
        say_word(contest=contest, line=line, seen=seen, by=by, change={line: value})
        contest.refresh_from_db()
    entry = _ribeye(contest)
    by = season.people[row["by"]]
    answers = {one.key: True for one in box_questions(entry.rulebook, entry)}
    check_id = uuid5(HOME, f"box {contest.name}")
    keep_lid_check(entry=entry, check_id=check_id, answers=answers, note="", by=by)
    turn_in(entry=entry, at=_turned_in(entry, row["seconds_after_close"]), by=by)
    if "late" in row:
        set_late(entry=entry, late=row["late"], points=None, by=by)


def _turned_in(entry: Entry, seconds: int) -> datetime:
    if entry.window_closes_at is None:
        raise ValueError(f"{entry} has no window")
    return entry.window_closes_at + timedelta(seconds=seconds)


def _ribeye(contest: Contest) -> Entry:
    rows = contest.entries.select_related("category", "rulebook", "contest", "cook_of_record")
    return rows.get(category__name="Ribeye")


def _posted(season: Season, row: Mapping[str, Any], names: Sequence[str]) -> None:
    """A whole field as the organiser posted it, with us where the story has us."""
    contest = _contest(season, row)
    entry = _ribeye(contest)
    text = _list_text(season, entry, row, names)
    rows = field_rows(read(text))
    (ours,) = [row.at for row in rows if row.name == season.team.name]
    kept = keep_posting(
        posting=Posting(
            pk=uuid5(HOME, f"list {contest.name} {row['days_after']}"),
            contest=contest,
            category=entry.category,
            posted_on=contest.held_on + timedelta(days=row["days_after"]),
            note=row["note"],
            text=text,
        ),
        rows=rows,
        ours={entry.pk: ours},
        whole_field=True,
        official=True,
        by=season.people["tamsin"],
    )
    if "rival" in row:
        _rival(season, entry, kept.posting, row["rival"])


def _rival(season: Season, entry: Entry, posting: Posting, name: str) -> None:
    """One rival's sheets, which they showed us: our marks, moved by halves to their total."""
    line = posting.lines.get(name=name)
    sheets = entry.sheets.prefetch_related("marks__criterion")
    table = [
        {mark.criterion.key: mark.points or STEP for mark in sheet.marks.all()} for sheet in sheets
    ]
    for sheet in table:  # traded within a sheet, so that not everything goes one way
        better, worse = season.rng.sample(sorted(sheet), 2)
        sheet[better] = min(sheet[better] + 2 * STEP, Decimal(10))
        sheet[worse] -= STEP
    while gap := (line.total or 0) - sum(sum(sheet.values()) for sheet in table):
        sheet = season.rng.choice(table)
        key = season.rng.choice(sorted(sheet))
        sheet[key] = min(sheet[key] + STEP, Decimal(10)) if gap > 0 else sheet[key] - STEP
    by = season.people["tamsin"]
    keep_rival_sheets(line=line, sheets=table, seen=how_sheets_stand(line), by=by)


def _list_text(season: Season, entry: Entry, row: Mapping[str, Any], names: Sequence[str]) -> str:
    """A list in columns of spaces, as it comes out of a PDF: the others' totals are invented."""
    total, placing, size = entry.result.total, row["placing"], row["field"]
    lines = ["Place   Team                       Total"]
    others = iter(names)
    for place in range(1, size + 1):
        points = total + STEP * (placing - place) + STEP * (place < placing)
        name = season.team.name if place == placing else next(others)
        lines.append(f"{place:<8}{name:<27}{points.normalize():f}")
    return "\n".join(lines)
