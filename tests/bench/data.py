"""Seasons by the thousand, written in bulk: what a team has after years, and its neighbours."""

import random
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from django.utils import timezone

from teamops.contests.models import Category, Contest, Entry, Task, Trip
from teamops.judging.models import CriterionResult, Mark, Result, ScoreSheet
from teamops.judging.worked import work_out
from teamops.packing.models import PackingLine, PackingList
from teamops.rules.models import Rulebook
from teamops.teams.models import Membership, Team, User
from teamops.teams.roles import Role
from tests.factories.rules import RulebookFactory
from tests.factories.teams import MembershipFactory, TeamFactory

TABLES = 40  # different tables of marks; every further entry repeats one of them
BATCH = 2_000
SHEETS = 5


@dataclass(frozen=True)
class Season:
    """A team with its past: who signs in, and how many boxes it turned in."""

    team: Team
    owner: User
    entries: int


class Writer:
    """Writes seasons under one shared rulebook, its marks drawn from a fixed run of numbers."""

    def __init__(self) -> None:
        made = RulebookFactory(name="Measured")
        self.rulebook = Rulebook.objects.get(pk=made.pk)  # with the types that are stored
        self.criteria = list(self.rulebook.criteria.all())
        draw = random.Random(20)
        self.tables = [
            [[Decimal(draw.randint(12, 20)) / 2 for _ in self.criteria] for _ in range(SHEETS)]
            for _ in range(TABLES)
        ]

    def team(self, name: str, *, contests: int, entries: int, tasks: int = 0) -> Season:
        """A team with so many cooked contests, a few to come, and so many boxes at each."""
        owner = MembershipFactory(team=TeamFactory(name=name), role=Role.OWNER)
        self.seasons([owner], contests=contests, entries=entries, tasks=tasks)
        return Season(owner.team, owner.user, contests * entries)

    def neighbours(self, count: int, *, contests: int) -> None:
        """So many other teams of their own people, with so many contests of one box each."""
        users = User.objects.bulk_create(
            User(email=f"neighbour{n}@example.test") for n in range(count)
        )
        teams = Team.objects.bulk_create(
            Team(name=f"Neighbour {n}", slug=f"neighbour-{n}") for n in range(count)
        )
        places = [
            Membership(team=team, user=user, role=Role.OWNER)
            for team, user in zip(teams, users, strict=True)
        ]
        Membership.objects.bulk_create(places)
        self.seasons(places, contests=contests, entries=1)

    def seasons(
        self, places: list[Membership], *, contests: int, entries: int, tasks: int = 0
    ) -> None:
        """Past contests a day apart up to yesterday, with sheets and results, and three to come."""
        today = timezone.localdate()
        days = [today - timedelta(days=n + 1) for n in range(contests)]
        days += [today + timedelta(days=7 * (n + 1)) for n in range(3)]
        categories = {place.team_id: Category(team=place.team, name="Ribeye") for place in places}
        Category.objects.bulk_create(categories.values(), batch_size=BATCH)
        held = [_contest(place.team, day, today) for place in places for day in days]
        Trip.objects.bulk_create([contest.trip for contest in held], batch_size=BATCH)
        Contest.objects.bulk_create(held, batch_size=BATCH)
        boxes = [
            Entry(contest=contest, category=categories[contest.team_id], rulebook=self.rulebook)
            for contest in held
            for _ in range(entries)
        ]
        Entry.objects.bulk_create(boxes, batch_size=BATCH)
        coming = [contest for contest in held if contest.held_on > today]
        Task.objects.bulk_create(
            [
                Task(contest=contest, title=f"Task {n}", due_on=contest.held_on)
                for contest in coming
                for n in range(tasks)
            ],
            batch_size=BATCH,
        )
        owners = {place.team_id: place.user for place in places}
        self.sheets([box for box in boxes if box.contest.held_on < today], owners)

    def sheets(self, boxes: list[Entry], owners: dict[int, User]) -> None:
        """Five sheets a box, and the results that a save would have stored."""
        sheets = [
            ScoreSheet(
                entry=box, position=n + 1, seat=str(n + 1), recorded_by=owners[box.contest.team_id]
            )
            for box in boxes
            for n in range(SHEETS)
        ]
        ScoreSheet.objects.bulk_create(sheets, batch_size=BATCH)
        rows = [mark for n in range(len(boxes)) for mark in self.tables[n % TABLES]]
        marks = [
            Mark(sheet=sheet, criterion=criterion, points=points)
            for sheet, row in zip(sheets, rows, strict=True)
            for criterion, points in zip(self.criteria, row, strict=True)
        ]
        Mark.objects.bulk_create(marks, batch_size=BATCH)
        self.results(boxes)

    def results(self, boxes: list[Entry]) -> None:
        """What a save stores, worked out once for each table of marks."""
        worked = [work_out(box) for box in boxes[:TABLES]]
        results = [Result(entry=box, **worked[n % TABLES].columns) for n, box in enumerate(boxes)]
        Result.objects.bulk_create(results, batch_size=BATCH)
        lines = [
            CriterionResult(result=result, criterion_id=criterion, **values)
            for n, result in enumerate(results)
            for criterion, values in worked[n % TABLES].lines.items()
        ]
        CriterionResult.objects.bulk_create(lines, batch_size=BATCH)


def _contest(team: Team, day: date, today: date) -> Contest:
    state = Contest.State.COOKED if day < today else Contest.State.ACCEPTED
    name = f"Contest of {day:%d %b %Y}"
    trip = Trip(team=team, name=name)
    return Contest(
        team=team, trip=trip, name=name, held_on=day, time_zone="America/Chicago", state=state
    )


def packing_list(season: Season, lines: int) -> PackingList:
    """A list of so many lines in six containers, a third of them packed."""
    now = timezone.now()
    trip = Trip.objects.create(team=season.team, name=f"{lines} lines")
    board = PackingList.objects.create(
        trip=trip, title=trip.name, made_at=now, made_by=season.owner
    )
    rows = [
        PackingLine(
            packing_list=board,
            name=f"Thing {n:03}",
            container=f"Tote {n % 6}",
            container_whole=True,
            amount=Decimal(2),
            mass_kg=Decimal("0.5"),
            position=n % 6,
            own=True,
            packed_at=now if n % 3 == 0 else None,
            packed_by=season.owner if n % 3 == 0 else None,
            packed_amount=Decimal(2) if n % 3 == 0 else None,
        )
        for n in range(lines)
    ]
    PackingLine.objects.bulk_create(rows, batch_size=BATCH)
    return board
