"""Rulebooks to choose from, and what two of them say differently."""

from datetime import date
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from teamops.calc.scoring import LateRule
from teamops.rules.actions import make_exception, make_ours
from teamops.rules.copies import copy_of, first_free, free_next_edition, next_edition
from teamops.rules.files import FIELDS, fingerprint
from teamops.rules.models import Criterion, Rulebook
from teamops.rules.queries import (
    choice_label,
    default_rulebook,
    differences,
    offered_rulebooks,
    rulebook_page,
    shelf,
)
from teamops.rules.records import lateness_of
from tests.factories.rules import RulebookFactory
from tests.factories.teams import TeamFactory


def test_offered_are_own_and_shared_without_what_is_put_away(team):
    shared, own = RulebookFactory(name="A"), RulebookFactory(name="B", team=team)
    RulebookFactory(name="C", team=team, put_away_at=timezone.now())
    RulebookFactory(name="D", team=TeamFactory())
    RulebookFactory(name="E", team=team, follows=own, exception_why="Rain")
    assert list(offered_rulebooks(team)) == [shared, own]


def test_offered_with_the_one_that_is_kept_and_its_exceptions(team):
    own, other = RulebookFactory(name="A", team=team), RulebookFactory(name="B", team=team)
    first = RulebookFactory(name="C", team=team, follows=own, exception_why="Rain")
    second = RulebookFactory(name="D", team=team, follows=first, exception_why="Wind")
    RulebookFactory(name="E", team=team, follows=other, exception_why="Hail")
    away = RulebookFactory(name="F", team=team, put_away_at=timezone.now())
    assert list(offered_rulebooks(team, keep=own)) == [own, other, first]
    assert list(offered_rulebooks(team, keep=first)) == [own, other, first, second]
    assert list(offered_rulebooks(team, keep=away)) == [own, other, away]


def test_nobody_elses_is_offered_even_if_kept(team):
    theirs = RulebookFactory(team=TeamFactory())
    assert list(offered_rulebooks(team, keep=theirs)) == []


@pytest.mark.parametrize("books", [1, 8])
def test_choices_take_two_queries(team, books, django_assert_num_queries):
    for _ in range(books):
        RulebookFactory(team=team)
    with django_assert_num_queries(2):
        assert len([choice_label(book) for book in offered_rulebooks(team)]) == books


def test_a_new_box_is_not_judged_by_an_exception_or_what_is_put_away(team):
    RulebookFactory(name="A", team=team, exception_why="Rain")
    RulebookFactory(name="B", team=team, put_away_at=timezone.now())
    shared = RulebookFactory(name="Open Slate")
    assert default_rulebook(team) == shared


def test_the_shelf_by_kind(team):
    shared, own = RulebookFactory(name="A"), RulebookFactory(name="B", team=team)
    away = RulebookFactory(name="C", team=team, put_away_at=timezone.now())
    rain = RulebookFactory(name="D", team=team, exception_why="Rain")
    found = shelf(team)
    kinds = (found.own, found.shared, found.exceptions, found.away)
    assert [[row.rulebook for row in rows] for rows in kinds] == [[own], [shared], [rain], [away]]
    assert found.own[0].judges == "5 judges"
    assert found.own[0].marked.startswith("Appearance, Doneness")


FULL = {
    "name": "Book", "edition": "1", "source": "a page", "valid_from": date(2026, 1, 1),
    "valid_to": date(2026, 12, 31), "sheets_expected": 6, "sheets_least": 2,
    "missing_sheet": "refuse", "drop_scope": "sheet", "drop_low": 1, "drop_high": 1,
    "outlier_distance": Decimal(9), "aggregate": "mean", "factor": Decimal(2), "round_places": 3,
    "round_where": "total", "tie_break": ["sum:taste:kept"], "direction": "high",
    "place_method": "skip", "rounds": "last", "panels": [], "penalty_mark": Decimal(1),
    "max_spread": Decimal(7), "window_minutes": 10, "late": "docked", "late_grace_seconds": 30,
    "late_points": Decimal(2), "lateness": "Tell the table.", "piece": "steak", "pieces_least": 1,
    "pieces_most": 2, "garnish": "may", "garnish_words": "parsley", "sauce": "no",
    "sauce_words": "none", "box_rules": "No string.", "protest_minutes": 30,
}  # fmt: skip
OTHER = {
    "source": "another", "valid_from": date(2026, 2, 1), "valid_to": None, "sheets_expected": 5,
    "sheets_least": 3, "missing_sheet": "none", "drop_scope": "criterion", "drop_low": 2,
    "drop_high": 0, "outlier_distance": None, "aggregate": "sum", "factor": Decimal("1.5"),
    "round_places": 2, "round_where": "sheet", "tie_break": ["draw"], "direction": "low",
    "place_method": "dense", "rounds": "add", "penalty_mark": None, "max_spread": Decimal(6),
    "panels": [{"name": "blind", "expected": 4, "least": 2}],
    "window_minutes": 15, "late": "zero", "late_grace_seconds": None, "late_points": Decimal(3),
    "lateness": "", "piece": "", "pieces_least": 2, "pieces_most": None, "garnish": "no",
    "garnish_words": "", "sauce": "", "sauce_words": "", "box_rules": "", "protest_minutes": None,
}  # fmt: skip
TASTE = [Criterion(key="taste", name="Taste", most=Decimal(10))]


@pytest.mark.parametrize("field", [name for name in FIELDS if name not in ("name", "edition")])
def test_every_field_that_differs_is_said(field):
    """Nothing that changes the arithmetic or the day passes unsaid between two editions."""
    before, after = Rulebook(**FULL), Rulebook(**FULL | {field: OTHER[field]})
    before._prefetched_objects_cache = {"criteria": Rows(TASTE)}
    assert differences(before, before, TASTE) == ()
    found = differences(before, after, TASTE)
    assert found
    assert all(row.before != row.after for row in found)


class Rows(list):
    """Criteria as a prefetched manager gives them."""

    def all(self):
        return self


@pytest.mark.parametrize(
    ("change", "label", "before", "after"),
    [
        ({"weight": Decimal(2)}, "Taste", "up to 10", "up to 10, counts 2 times"),
        ({"step": Decimal("0.5")}, "Taste", "up to 10", "up to 10 in half marks"),
        ({"name": "Flavour"}, "Flavour", "not marked", "up to 10"),
    ],
)
def test_a_criterion_that_differs_is_said(change, label, before, after):
    book = Rulebook(name="Book")
    book._prefetched_objects_cache = {"criteria": Rows(TASTE)}
    other = [Criterion(**{"key": "taste", "name": "Taste", "most": Decimal(10)} | change)]
    first = differences(book, book, other)[0]
    assert (first.label, first.before, first.after) == (label, before, after)


def test_a_copy_says_the_same(team):
    book = RulebookFactory(team=team, **{k: v for k, v in FULL.items() if k != "panels"})
    copied, rows = copy_of(book)
    assert (copied.team, copied.follows, copied.frozen_at) == (None, None, None)
    assert copied.family != book.family
    assert differences(book, copied, rows) == ()


@pytest.mark.parametrize(
    ("edition", "after"),
    [("", "2"), ("1", "2"), ("2026", "2027"), ("spring 2026, 2nd", "spring 2027, 2nd"),
     ("first", "first 2"), ("9" * 40, None)],
)  # fmt: skip
def test_the_next_edition(edition, after):
    found = next_edition(edition)
    assert len(found) <= 40
    assert after is None or found == after


def test_the_next_edition_that_is_free(team):
    book = RulebookFactory(name="Book", edition="2025", team=team)
    for edition in ("2026", "2027"):
        RulebookFactory(name="Book", edition=edition, team=team)
    assert free_next_edition(team, book) == "2028"


def test_an_edition_that_is_free():
    assert first_free("2", ["2", "2 2"]) == "2 3"
    assert len(first_free("x" * 50, ["x" * 40])) == 40


def test_an_exception_of_a_shared_book_is_the_teams(team, owner):
    shared = RulebookFactory(name="Long Table")
    book = make_exception(of=shared, why=" No lettuce ", team=team, by=owner.user)
    assert (book.team, book.follows, book.family) == (team, shared, shared.family)
    assert (book.exception_why, str(book)) == ("No lettuce", "Long Table 1 exception")
    second = make_exception(of=shared, why="Rain", team=team, by=owner.user)
    assert str(second) == "Long Table 1 exception 2"
    assert set(rulebook_page(shared, team).exceptions) == {book, second}
    assert rulebook_page(shared, TeamFactory()).exceptions == ()
    with pytest.raises(ValidationError):
        make_exception(of=shared, why="  ", team=team, by=owner.user)


def test_ours_shows_what_it_follows(team, owner):
    shared = RulebookFactory(name="Long Table")
    own = make_ours(rulebook=shared, team=team, by=owner.user)
    page = rulebook_page(own, team)
    assert (page.follows, page.changed, page.editions) == (shared, (), (shared,))


@pytest.mark.parametrize("others", [1, 6])
def test_a_page_takes_the_same_queries_however_large_the_family(
    team, others, django_assert_num_queries
):
    book = RulebookFactory(team=team)
    for _ in range(others):
        RulebookFactory(team=team, family=book.family, follows=book)
    with django_assert_num_queries(3):  # its criteria, its family, their criteria
        assert len(rulebook_page(book, team).editions) == others


def test_a_fingerprint_changes_with_what_is_said(team):
    book = RulebookFactory(team=team)
    before = fingerprint(book)
    row = book.criteria.first()
    row.weight = Decimal("1.0001")
    row.save()
    assert fingerprint(book) != before


def test_lateness_of_a_stored_book():
    lateness = lateness_of(Rulebook(**FULL))
    assert (lateness.rule, lateness.grace_seconds, lateness.points) == (LateRule.DOCKED, 30, 2)
