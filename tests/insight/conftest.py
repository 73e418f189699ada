"""A team's scored season, contest by contest."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from teamops.contests.models import Entry
from tests.factories.contests import CategoryFactory, ContestFactory, EntryFactory
from tests.factories.judging import written_entry
from tests.factories.rules import RulebookFactory

TODAY = date(2027, 6, 1)
NOON = timezone.datetime(2027, 6, 1, 17, 0, tzinfo=timezone.get_default_timezone())  # in Chicago


@pytest.fixture
def today(monkeypatch) -> date:
    """The first of June 2027, noon on the team's clock."""
    monkeypatch.setattr(timezone, "now", lambda: NOON)
    return TODAY


@pytest.fixture
def rulebook(db):
    return RulebookFactory(name="Open Slate")


Cook = Callable[..., Entry]


@pytest.fixture
def cook_contest(team, rulebook) -> Cook:
    """Cook one contest: a mark a criterion from each of five judges, so many weeks ago."""

    def cook_contest(*marks: float, weeks: int = 1, judges: int = 5, **more) -> Entry:
        book = more.pop("rulebook", rulebook)
        table = more.pop("table", [list(marks)] * judges)
        contest = more.pop("contest", None) or ContestFactory(
            team=team,
            held_on=TODAY - timedelta(weeks=weeks),
            state="cooked",
            name=more.pop("name", f"Contest {weeks} weeks ago"),
            kind=more.pop("kind", "judged"),
        )
        category = CategoryFactory(team=team, name=more.pop("category", "Ribeye"))
        entry = EntryFactory(contest=contest, category=category, rulebook=book)
        return written_entry(entry, table, **more)

    return cook_contest


@pytest.fixture
def open_page(today, signed_in, team):
    """What the owner sees at an address of insight, given by name."""

    def open_page(name: str, *args: object, query: str = "", **headers: str):
        url = reverse(f"insight:{name}", args=[team.slug, *args])
        return signed_in.get(f"{url}?{query}" if query else url, headers=headers)

    return open_page
