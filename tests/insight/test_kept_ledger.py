"""The ledger's page is kept, and never shows what was true a moment ago."""

from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal

import pytest
from django.core.cache import cache
from django.urls import reverse

from teamops.contests.actions import change_contest, delete_contest, delete_entry, save_entry
from teamops.contests.models import Category, Contest, Entry
from teamops.insight import queries
from teamops.insight.keeping import keep
from teamops.insight.queries.choices import Selection
from teamops.insight.views import chosen
from teamops.judging.actions import delete_change, record_scores, rescore, save_change
from teamops.judging.models import Change, CriterionResult, Result
from teamops.rules.models import Criterion, Rulebook
from teamops.teams.models import Team, User
from tests.factories.judging import ChangeFactory, typed_table
from tests.factories.rules import RulebookFactory
from tests.insight.conftest import TODAY
from tests.insight.pages import text_of

ALL = "season=all"


@pytest.fixture
def season(team, cook_contest) -> list[Entry]:
    """Three contests, the first three weeks ago."""
    entries = [cook_contest(10, 8, 9, 10, 9, weeks=weeks) for weeks in (3, 2, 1)]
    ChangeFactory(team=team, what="Hotter grate", starts_on=TODAY - timedelta(weeks=2, days=3))
    return entries


def saved(entry: Entry, by: User, table: list[list[float]], **official: object) -> None:
    version = Result.objects.get(entry=entry).version
    sheets = typed_table(entry, table)
    record_scores(entry=entry, seen=version, sheets=sheets, official=official, by=by)


def another_sheet_is_saved(entry: Entry, by: User) -> None:
    saved(entry, by, [[10, 8, 9, 10, 9]] * 4 + [[10, 2, 9, 10, 9]])


def a_mark_is_corrected(entry: Entry, by: User) -> None:
    sheets = typed_table(entry, [[10, 8, 9, 10, 9]] * 5)
    version = Result.objects.get(entry=entry).version
    record_scores(entry=entry, seen=version, sheets=sheets, official={}, by=by)
    doneness = entry.rulebook.criteria.get(name="Doneness").pk
    sheets[0].marks[doneness] = Decimal(5)  # type: ignore[index]
    record_scores(entry=entry, seen=version + 1, sheets=sheets, official={}, by=by)


def a_sheet_is_taken_away(entry: Entry, by: User) -> None:
    saved(entry, by, [[10, 8, 9, 10, 9]] * 4)


def every_sheet_is_taken_away(entry: Entry, by: User) -> None:
    saved(entry, by, [])


def the_box_is_disqualified(entry: Entry, by: User) -> None:
    saved(entry, by, [[10, 8, 9, 10, 9]] * 5, disqualified=True)


def the_contest_moves(entry: Entry, by: User) -> None:
    contest = Contest.objects.get(pk=entry.contest_id)
    contest.held_on -= timedelta(weeks=5)
    change_contest(contest=contest, seen=contest.version, by=by)


def the_contest_is_renamed(entry: Entry, by: User) -> None:
    contest = Contest.objects.get(pk=entry.contest_id)
    contest.name = "Another name"
    change_contest(contest=contest, seen=contest.version, by=by)


def the_contest_was_a_practice(entry: Entry, by: User) -> None:
    contest = Contest.objects.get(pk=entry.contest_id)
    contest.kind = Contest.Kind.PRACTICE
    change_contest(contest=contest, seen=contest.version, by=by)


def the_contest_is_deleted(entry: Entry, by: User) -> None:
    delete_contest(contest=Contest.objects.get(pk=entry.contest_id))


def the_box_is_deleted(entry: Entry, by: User) -> None:
    delete_entry(entry=entry)


def the_box_was_of_another_category(entry: Entry, by: User) -> None:
    entry = Entry.objects.get(pk=entry.pk)
    save_entry(entry=entry, category_name="Chicken", ancillary=False, seen=entry.version, by=by)


def the_category_is_renamed(entry: Entry, by: User) -> None:
    category = Category.objects.get(pk=entry.category_id)
    category.name = "Rib steak"
    category.save()


def the_category_is_an_ancillary(entry: Entry, by: User) -> None:
    category = Category.objects.get(pk=entry.category_id)
    category.name, category.ancillary = "A side", True
    category.save()


def the_rulebook_is_renamed(entry: Entry, by: User) -> None:
    rulebook = Rulebook.objects.get(pk=entry.rulebook_id)
    rulebook.name = "Closed Slate"
    rulebook.save()


def a_criterion_is_renamed(entry: Entry, by: User) -> None:
    criterion = Criterion.objects.get(rulebook=entry.rulebook_id, name="Doneness")
    criterion.name = "Cook"
    criterion.save()


def more_judges_are_expected(entry: Entry, by: User) -> None:
    rulebook = Rulebook.objects.get(pk=entry.rulebook_id)
    rulebook.sheets_expected = 10
    rulebook.save()


def the_box_was_judged_by_another_rulebook(entry: Entry, by: User) -> None:
    entry = Entry.objects.get(pk=entry.pk)
    entry.rulebook = RulebookFactory(name="Another")
    entry.save()


def a_change_is_kept(entry: Entry, by: User) -> None:
    starts_on = TODAY - timedelta(weeks=1, days=3)
    save_change(change=Change(team=entry.contest.team, what="Oak", starts_on=starts_on), by=by)


def a_change_is_reworded(entry: Entry, by: User) -> None:
    change = Change.objects.get()
    change.what = "Hotter still"
    save_change(change=change, by=by)


def a_change_is_taken_back(entry: Entry, by: User) -> None:
    delete_change(change=Change.objects.get(), by=by)


def a_contest_was_cooked_as_before(entry: Entry, by: User) -> None:
    save_change(change=Change.objects.get(), uses={entry.contest_id: False}, by=by)


def the_teams_address_changes(entry: Entry, by: User) -> None:
    Team.objects.filter(pk=entry.contest.team_id).update(slug="elsewhere")


WHAT_HAPPENS: list[Callable[[Entry, User], None]] = [
    another_sheet_is_saved,
    a_mark_is_corrected,
    a_sheet_is_taken_away,
    every_sheet_is_taken_away,
    the_box_is_disqualified,
    the_contest_moves,
    the_contest_is_renamed,
    the_contest_was_a_practice,
    the_contest_is_deleted,
    the_box_is_deleted,
    the_box_was_of_another_category,
    the_category_is_renamed,
    the_category_is_an_ancillary,
    the_rulebook_is_renamed,
    a_criterion_is_renamed,
    more_judges_are_expected,
    the_box_was_judged_by_another_rulebook,
    a_change_is_kept,
    a_change_is_reworded,
    a_change_is_taken_back,
    a_contest_was_cooked_as_before,
    the_teams_address_changes,
]


@pytest.fixture
def main_of(signed_in, team) -> Callable[[], str]:
    """What stands between the frame of the ledger's page, wherever the team lives now."""

    def main_of() -> str:
        slug = Team.objects.get(pk=team.pk).slug
        answer = signed_in.get(reverse("insight:show_ledger", args=[slug]))
        assert answer.status_code == 200
        return answer.content.decode().partition("<main")[2]

    return main_of


@pytest.mark.parametrize("happens", WHAT_HAPPENS, ids=lambda one: one.__name__)
def test_whatever_happens_shows_at_once(season, main_of, owner, happens):
    """The page after it is another one than before, and the very page that nothing kept draws."""
    before = main_of()
    assert main_of() == before
    happens(season[1], owner.user)
    after = main_of()
    cache.clear()
    assert after == main_of()
    assert after != before


def test_a_correction_shows_though_the_clock_stands_still(today, season, main_of, owner):
    a_mark_is_corrected(season[1], owner.user)
    before = main_of()
    saved(season[1], owner.user, [[10, 8, 9, 10, 9]] * 5)
    assert main_of() != before


def test_results_worked_out_anew_show_at_once(season, main_of):
    """Somebody wrote past the application; the command sets it right and counts no save."""
    line = CriterionResult.objects.filter(result=season[1].pk, criterion__name="Doneness")
    line.update(lost=50, earned=0)
    before = main_of()
    assert len(list(rescore())) == 2
    assert main_of() != before


def test_a_page_that_is_still_true_is_not_worked_out_again(season, main_of, monkeypatch):
    first = main_of()
    monkeypatch.setattr(queries, "ledger_board", lambda *args: pytest.fail("worked out again"))
    assert main_of() == first


@pytest.mark.parametrize("query", ["out=00000000-0000-0000-0000-000000000000", "until=2027-05-31"])
def test_a_choice_of_ones_own_is_worked_out_each_time(season, open_page, monkeypatch, query):
    """There are too many of them to keep."""
    monkeypatch.setattr("teamops.insight.views.chosen.keep", lambda *args: pytest.fail("kept"))
    assert open_page("show_ledger", query=query).status_code == 200


def test_what_changed_while_it_was_drawn_is_shown_but_not_kept(db):
    assert keep("part", "old", lambda: "drawn of old and new", lambda: "new") == (
        "drawn of old and new"
    )
    assert keep("part", "old", lambda: "drawn again", lambda: "old") == "drawn again"
    assert keep("part", "old", lambda: pytest.fail("kept"), lambda: "old") == "drawn again"


def test_another_release_draws_anew(monkeypatch):
    assert keep("release", "same", lambda: "of the old", lambda: "same") == "of the old"
    monkeypatch.setattr("teamops.insight.keeping.release", lambda: "the new one")
    assert keep("release", "same", lambda: "of the new", lambda: "same") == "of the new"


def test_nothing_is_kept_while_templates_are_written(settings):
    settings.DEBUG = True
    assert keep("debug", "same", lambda: "one", lambda: "same") == "one"
    assert keep("debug", "same", lambda: "two", lambda: "same") == "two"


def test_two_teams_have_two_stamps_and_another_teams_sheets_change_ours_not(
    season, team, stranger, cook_contest
):
    ours = queries.ledger_ground(team).stamp
    assert queries.ledger_ground(stranger.team).stamp != ours
    ChangeFactory(team=stranger.team, what="Theirs")
    assert queries.ledger_ground(team).stamp == ours


@pytest.mark.parametrize("contests", [3, 12])
def test_a_kept_page_takes_ten_queries_however_many_contests(
    open_page, cook_contest, today, contests, django_assert_num_queries
):
    for weeks in range(1, contests + 1):
        cook_contest(10, 8, 10, 10, 10, weeks=weeks, judges=2)
    open_page("show_ledger", query=ALL)
    with django_assert_num_queries(10):  # three of them sign in
        open_page("show_ledger", query=ALL)


def test_where_pages_are_kept_a_visit_asks_next_to_nothing_until_a_press(
    settings, open_page, season, owner, team, monkeypatch, django_assert_num_queries
):
    """Sign-in and what was kept; after any press of the team the page is looked over again."""
    settings.KEEPS_PAGES = True
    before = text_of(open_page("show_ledger", query=ALL))
    with django_assert_num_queries(3), monkeypatch.context() as patch:
        patch.setattr(chosen, "ledger_ground", lambda team: pytest.fail("asked again"))
        assert "Doneness" in text_of(open_page("show_ledger", query=ALL))
    a_mark_is_corrected(season[1], owner.user)
    Team.objects.filter(pk=team.pk).restamp()
    after = text_of(open_page("show_ledger", query=ALL))
    assert after != before
    assert open_page("show_ledger", query="season=never").status_code == 422


def test_usual_choices_are_few(rulebook):
    usual = Selection(rulebook.pk, "Ribeye", rulebook.pk, "Open Slate", season=2027)
    assert usual.is_usual
    assert not Selection(rulebook.pk, "", rulebook.pk, "", left_out=frozenset({"x"})).is_usual
