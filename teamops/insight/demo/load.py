"""Writes the demo season through the same actions that people's presses go through."""

import json
from collections.abc import Mapping
from datetime import date, datetime, timedelta
from decimal import Decimal
from random import Random
from typing import Any
from uuid import uuid5
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db import transaction

from teamops.calc.units import f_to_c
from teamops.contests.actions import change_contest, register_contest, save_entry, save_task
from teamops.contests.actions.aim import set_aim
from teamops.contests.models import Category, Contest, Entry, Task, Trip
from teamops.contests.steps import add_usual_steps
from teamops.insight.demo import calendar, marks
from teamops.insight.demo.packing import pack
from teamops.insight.demo.paperwork import add_paperwork
from teamops.insight.demo.pictures import add_pictures
from teamops.insight.demo.season import HOME, Season
from teamops.judging.actions import TypedSheet, record_scores, save_change
from teamops.judging.models import Change
from teamops.rules.actions import add_starter_rulebooks
from teamops.rules.models import Rulebook
from teamops.teams.models import Membership, Team, User

WINDOW = timedelta(minutes=15)
MEDIUM_F = 139, 142  # common practice, no source


@transaction.atomic
def load_demo(today: date) -> Team:
    """
    Write the demo team with two past seasons and three coming contests; whole or not at all.

    The same day gives the same marks. Refuses (ValidationError) a second loading: the people's
    addresses are taken then.
    """
    record = json.loads((settings.FIXTURES / "demo-season.json").read_text())
    add_starter_rulebooks()
    season = _people(record)
    first, second = record["seasons"]
    days = calendar.first_season(today, len(first["contests"]))
    _past(season, first, days, since=days[0])
    weekends = calendar.second_season(today, len(second["contests"]) - 1)
    weekends.insert(3, weekends[2])  # the double: two contests on one Saturday
    _past(season, second, weekends, since=weekends[0])
    for row in record["changes"]:
        _change(season, row)
    for row in record["coming"]:
        _coming(season, row, today)
    for row in record["tasks"]:
        _task(season, row)
    trip = season.contests["Zoneline Cook"].trip
    pack(trip, planner=season.owner, packer=season.people["tamsin"])
    add_paperwork(season, record, today)
    for name, aim_f in record["aims"].items():
        category = Category.objects.for_team(season.team).get(name=name)
        category.aim_c = f_to_c(Decimal(aim_f))
        set_aim(category=category)
    add_pictures(season, record)
    _weather(season, record["weather"])
    return season.team


def _weather(season: Season, record: Mapping[str, tuple[str, str, str]]) -> None:
    """The air in °F around the turn-in, whether it rained, and whether the wind was strong."""
    for name, (air_f, rain, wind) in record.items():
        contest = Contest.objects.get(pk=season.contests[name].pk)
        contest.air_c, contest.rain, contest.wind = f_to_c(Decimal(air_f)), rain, wind
        change_contest(contest=contest, seen=contest.version, by=season.owner)


def _people(record: Mapping[str, Any]) -> Season:
    team = Team(**record["team"])
    team.full_clean()
    team.save()
    people = {}
    for row in record["people"]:
        user = people[row["key"]] = User.objects.create_user(row["email"], name=row["name"])
        Membership.objects.create(team=team, user=user, role=row["role"])
    rulebooks = {row.name: row for row in Rulebook.objects.shared().prefetch_related("criteria")}
    return Season(team, people, rulebooks, Random(1136))  # noqa: S311 - marks, not secrets


def _past(season: Season, record: Mapping[str, Any], days: list[date], since: date) -> None:
    """One past season: its tables first, since their means are settled together."""
    rows = record["contests"]
    means = {key: Decimal(mean) for key, mean in record["means"].items()}
    rough = {key: float(mean) for key, mean in means.items()}
    tables = {}
    for row in rows:
        if "gives" not in row or row["gives"] == "judge_totals":
            judges = 6 if row.get("six_judges") else 5
            tables[row["name"]] = marks.invent(
                judges, rough, season.rng, least=1, most=10, step=marks.HALF
            )
    full = [tables[row["name"]] for row in rows if "gives" not in row]
    marks.settle_means(full, means, season.rng)
    for row in rows:
        if "total" in row and row["name"] in tables:
            table = tables[row["name"]]
            others = [other for other in full if other is not table]
            marks.settle_total(table, others, Decimal(row["total"]), season.rng)
    for row, day in zip(rows, days, strict=True):
        contest = _contest(season, row, day)
        entry = _entry(season, contest, "Ribeye", "Open Slate", row.get("window", "13:00"))
        _cooked(entry, pull_f=record["pull_f"], peak_f=row.get("peak_f", record["peak_f"]))
        entry.notes = row.get("notes", "")
        entry.save()
        _log(season, entry, row, tables.get(row["name"]))
        if row.get("moved"):
            _move_window(season, entry)
        if "ancillary" in row:
            _ancillary(season, contest, row["ancillary"])


def _cooked(entry: Entry, *, pull_f: str, peak_f: str) -> None:
    """What was noted of a steak, and how its cut looked; medium is 139 to 142 °F."""
    entry.pull_c, entry.peak_c = f_to_c(Decimal(pull_f)), f_to_c(Decimal(peak_f))
    seen = Entry.Doneness
    entry.doneness_seen = seen.RIGHT
    if not MEDIUM_F[0] <= Decimal(peak_f) <= MEDIUM_F[1]:
        entry.doneness_seen = seen.UNDER if Decimal(peak_f) < MEDIUM_F[0] else seen.OVER


def _contest(season: Season, row: Mapping[str, Any], day: date) -> Contest:
    contest = Contest(
        team=season.team,
        name=row["name"],
        place=row["place"],
        held_on=day,
        time_zone=row.get("zone", season.team.time_zone),
        kind=row.get("kind", Contest.Kind.JUDGED),
        state=row.get("state", Contest.State.ACCEPTED),
        wait_list_place=row.get("wait_list_place"),
        drive_minutes=row.get("drive"),
        fee=row.get("fee"),
        deposit=row.get("deposit"),
        deposit_terms=row.get("deposit_terms", ""),
        site_power=row.get("power", ""),
        site_water=row.get("water", ""),
        meat_issued=row.get("meat", ""),
        boxes_issued=row.get("boxes", ""),
        site_notes=row.get("site_notes", ""),
    )
    for name in ("load_in", "meeting", "awards"):
        if name in row:
            setattr(contest, f"{name}_at", _at(contest, row[name]))
    if "trip" in row:
        contest.trip, _ = Trip.objects.get_or_create(team=season.team, name=row["trip"])
    season.contests[contest.name] = register_contest(contest=contest, by=season.owner)
    return contest


def _at(contest: Contest, clock: str) -> datetime:
    """A time of day on the contest's clock."""
    hour, minute = map(int, clock.split(":"))
    day = contest.held_on
    return datetime(day.year, day.month, day.day, hour, minute, tzinfo=ZoneInfo(contest.time_zone))


def _entry(
    season: Season, contest: Contest, category: str, rulebook: str, window: str, cook: str = "orla"
) -> Entry:
    opens = _at(contest, window)
    entry = Entry(
        contest=contest,
        rulebook=season.rulebooks[rulebook],
        cook_of_record=season.people[cook],
        window_opens_at=opens,
        window_closes_at=opens + WINDOW,
    )
    ancillary = category != "Ribeye"
    return save_entry(
        entry=entry, category_name=category, ancillary=ancillary, seen=None, by=season.owner
    )


def _log(season: Season, entry: Entry, row: Mapping[str, Any], table: marks.Table | None) -> None:
    """What the organiser gave: marks, judges' totals, one total, or a placing."""
    gives = row.get("gives", "marks")
    official: dict[str, Any] = {
        "placing": row.get("placing"),
        "field_size": row.get("field"),
        "tied": row.get("tied", False),
    }
    total = sum((sum(sheet.values()) for sheet in table), Decimal(0)) if table else None
    if gives != "placing":
        known = row.get("posted") or row.get("total")
        official["official_total"] = Decimal(known) if known else total
    if row.get("six_judges"):
        official["official_total"] = None
    sheets = [
        _sheet(season, entry, seat, sheet, gives, blank=row.get("six_judges") and seat == 4)
        for seat, sheet in enumerate(table or [], start=1)
    ]
    record_scores(entry=entry, seen=0, sheets=sheets, official=official, by=season.people["tamsin"])
    entry.refresh_from_db()


def _sheet(
    season: Season,
    entry: Entry,
    seat: int,
    table: Mapping[str, Decimal],
    gives: str,
    *,
    blank: bool | None,
) -> TypedSheet:
    name = uuid5(HOME, f"{entry.contest.name} {entry.category.name} {seat}")
    if gives == "judge_totals":
        return TypedSheet(id=name, seat=str(seat), given_total=sum(table.values(), Decimal(0)))
    criteria = season.rulebooks[entry.rulebook.name].criteria.all()
    typed = {
        criterion.pk: None if blank and criterion.key == "texture" else table[criterion.key]
        for criterion in criteria
    }
    return TypedSheet(id=name, seat=str(seat), marks=typed)


def _ancillary(season: Season, contest: Contest, row: Mapping[str, Any]) -> None:
    entry = _entry(season, contest, row["category"], row["rulebook"], "12:00", cook="dov")
    rulebook = season.rulebooks[row["rulebook"]]
    if "disqualified" in row:
        official = {"disqualified": True, "disqualified_why": row["disqualified"]}
        record_scores(entry=entry, seen=0, sheets=[], official=official, by=season.people["tamsin"])
        return
    criteria = list(rulebook.criteria.all())
    least, most = int(criteria[0].least or 0), int(criteria[0].most or 10)
    means = {criterion.key: most - 1.4 for criterion in criteria}
    table = marks.invent(
        rulebook.sheets_expected, means, season.rng, least=least, most=most, step=Decimal(1)
    )
    sheets = [
        _sheet(season, entry, seat, sheet, "marks", blank=False)
        for seat, sheet in enumerate(table, start=1)
    ]
    official = {"placing": row["placing"], "field_size": row["field"]}
    record_scores(entry=entry, seen=0, sheets=sheets, official=official, by=season.people["tamsin"])


def _move_window(season: Season, entry: Entry) -> None:
    """The cooks' meeting moved it; the history keeps the old one."""
    if entry.window_opens_at and entry.window_closes_at:
        entry.window_opens_at += WINDOW
        entry.window_closes_at += WINDOW
    save_entry(
        entry=entry, category_name="Ribeye", ancillary=False, seen=None, by=season.people["dov"]
    )


def _change(season: Season, row: Mapping[str, Any]) -> None:
    """Something done differently from a contest on, but for those that were cooked as before."""
    until, category = row.get("until"), None
    if "category" in row:
        category = Category.objects.for_team(season.team).get(name=row["category"])
    change = Change(
        team=season.team,
        what=row["what"],
        category=category,
        starts_on=season.contests[row["from"]].held_on,
        ends_on=season.contests[until].held_on if until else None,
        note=row["note"],
    )
    off = {season.contests[name].pk: False for name in row.get("off", [])}
    save_change(change=change, uses=off, by=season.owner)


def _coming(season: Season, row: Mapping[str, Any], today: date) -> None:
    """A contest that is coming, with its boxes and the usual steps for its prep sheet."""
    day = today + timedelta(days=row.get("in_days", 0))
    if "weekend_after_days" in row:
        day = calendar.saturday_from(today + timedelta(days=row["weekend_after_days"]))
    contest = _contest(season, row, day)
    for cook in row.get("entries", []):
        _entry(season, contest, "Ribeye", "Open Slate", row["window"], cook=cook)
    if row.get("entries"):
        add_usual_steps(contest=contest)


def _task(season: Season, row: Mapping[str, Any]) -> None:
    contest = season.contests[row["contest"]]
    save_task(
        task=Task(
            contest=contest,
            title=row["what"],
            due_on=contest.held_on - timedelta(days=row["days_before"]),
            person=season.people[row["who"]],
        )
    )
