"""The next contest: places and chances, or plainly why they cannot be told."""

from dataclasses import replace
from datetime import timedelta

import pytest

from teamops.insight.queries import ledger_choices
from teamops.insight.queries.placing import Chosen, hope, offers, rulebook_of
from teamops.insight.queries.placing.drawn import draw_chances
from tests.factories.contests import CategoryFactory, ContestFactory, EntryFactory
from tests.factories.judging import ChangeFactory
from tests.factories.rules import RulebookFactory
from tests.insight.conftest import TODAY
from tests.insight.test_placing import post

FIELD = [(1, "Ash", 240), (2, "Birch", 232), (4, "Cedar", 220), (5, "Elm", 216), (6, "Fir", 208)]


@pytest.fixture
def season(cook_contest):
    """220, 225 and 230 points; the last has a list of six."""
    cook_contest(9, 9, 8, 9, 9, weeks=3)
    cook_contest(9, 9, 9, 9, 9, weeks=2)
    last = cook_contest(9, 9, 9, 9, 10, weeks=1)
    post(last, FIELD, place=3)
    return last


def look(team, *, change=None, coming=None, prizes=3, posting=0):
    selection = replace(ledger_choices(team).select(), season=None)
    found = offers(team, selection, TODAY)
    asked = Chosen(coming, found.postings[posting], change, prizes)
    return hope(team, selection, rulebook_of(team, selection), asked)


def test_chances_are_told_in_words_table_and_picture(team, season):
    """Our form is 225 +- 5 of three; the others 223.2 +- 12.8 of five."""
    found = look(team)
    assert not found.why
    rows = dict(found.rows)
    assert rows["Our total"] == "225.0 on average, swings by 5.0, three contests"
    assert rows["The field"] == "223.2 on average, apart by 12.8"
    assert rows["Average place"].endswith(" of 6")
    assert set(rows) >= {"8 times in 10", "Chance of winning", "Chance of the first 3"}
    assert found.sentence.startswith("On average about ")
    assert "Chance of a place among the first 3" in found.sentence
    assert found.title == "Against a field like Contest 1 weeks ago, 25 May 2027"
    assert any("stands on three contests only" in note for note in found.notes)
    assert any("other judges on other days" in note for note in found.notes)
    assert found.chances.count("<rect") == 6
    assert found.chances.count('class="paid"') == 3


def test_a_hard_panel_there_is_said(team, cook_contest, season):
    """Our form is some 219 with a 200 in it; the others there are apart by 12.8, half is 6.4."""
    hard = cook_contest(8, 8, 8, 8, 8, weeks=4)
    post(hard, FIELD, place=6)
    (said,) = [note for note in look(team, posting=1).notes if "own total" in note]
    assert said.startswith("In that field our own total was 200.0, ")
    assert said.endswith(
        "below our average: if its judges were hard, these chances are too hopeful."
    )
    (said,) = [note for note in look(team).notes if "own total" in note]
    assert said.endswith("if its judges were kind, these chances are too gloomy.")


def test_two_totals_are_too_few(team, cook_contest):
    cook_contest(9, 9, 9, 9, 9, weeks=2)
    last = cook_contest(9, 9, 9, 9, 9, weeks=1)
    post(last, FIELD, place=3)
    found = look(team)
    assert found.why == (
        "A form takes three contests with a total under this rulebook; there are two."
    )
    assert (found.rows, found.chances) == ((), None)


def test_a_list_of_the_best_is_no_field(team, cook_contest, season):
    other = cook_contest(9, 9, 9, 9, 9, weeks=4)
    post(other, FIELD[:3], posted=None, size=30)
    found = look(team, posting=1)
    assert found.why.startswith("That list tells 3 of 30 totals, most likely the best")


def test_a_winner_and_our_place_make_a_field_that_says_so(team, cook_contest, season):
    other = cook_contest(9, 9, 9, 9, 9, weeks=4)
    post(other, FIELD[:1], posted=8, size=25)
    found = look(team, posting=1)
    assert not found.why
    assert any("estimated from two scores" in note for note in found.notes)
    assert dict(found.rows)["Average place"].endswith(" of 25")


def test_three_totals_make_no_field_of_two_others(team, cook_contest, season):
    other = cook_contest(9, 9, 9, 9, 9, weeks=4)
    post(other, FIELD[:2], place=3)
    assert "fewer than three totals besides ours" in look(team, posting=1).why


def test_a_field_without_a_spread(team, cook_contest, season):
    other = cook_contest(9, 9, 9, 9, 9, weeks=4)
    post(other, [(1, name, 230) for name in "ABCD"], place=5)
    assert "All totals of that list are the same" in look(team, posting=1).why


def test_a_table_short_of_a_judge_and_a_late_zero_are_no_form(team, cook_contest, season):
    cook_contest(9, 9, 9, 9, 9, weeks=5, judges=4)
    late = cook_contest(9, 9, 9, 9, 9, weeks=6)
    late.late = "zero"
    late.save()
    found = look(team)
    assert "three contests" in dict(found.rows)["Our total"]
    assert "One total is of a table that was not full, and left out of our form." in found.notes


def test_a_total_alone_is_part_of_our_form(team, cook_contest, season):
    cook_contest(weeks=5, table=[], official_total=225)
    assert "four contests" in dict(look(team).rows)["Our total"]


def test_a_coming_contest_under_other_rules_is_pointed_out(team, season):
    coming = ContestFactory(team=team, held_on=TODAY + timedelta(days=9), name="Gravel Bar")
    category = CategoryFactory(team=team, name="Ribeye")
    EntryFactory(contest=coming, category=category, rulebook=RulebookFactory(name="Other Book"))
    found = look(team, coming=coming)
    assert found.title.startswith("Gravel Bar, against a field like ")
    assert any("Gravel Bar is judged by Other Book" in note for note in found.notes)


def test_a_change_is_added_by_its_best_guess(team, cook_contest):
    """Two contests without it, three with it and a mark better in taste: 5 points, drawn in."""
    for weeks in (5, 4):
        cook_contest(9, 9, 8, 9, 9, weeks=weeks)
    for weeks in (3, 2, 1):
        last = cook_contest(9, 9, 9, 9, 9, weeks=weeks)
    post(last, FIELD, place=3)
    change = ChangeFactory(team=team, what="New rub", starts_on=TODAY - timedelta(weeks=3, days=3))
    plain, found = look(team), look(team, change=change)
    (note,) = [note for note in found.notes if "New rub" in note]
    assert "is added to the two contests without it" in note
    gain = float(note.split("worth ")[1].split(" points")[0])
    assert 0 < gain <= 5
    mean = [float(dict(one.rows)["Our total"].split(" ")[0]) for one in (plain, found)]
    assert mean[1] - mean[0] == pytest.approx(gain * 2 / 5, abs=0.11)


def test_two_changes_at_once_are_credited_with_nothing(team, season):
    day = TODAY - timedelta(weeks=1, days=3)
    one, _ = (ChangeFactory(team=team, what=what, starts_on=day) for what in ("Rub", "Grate"))
    found = look(team, change=one)
    assert any("“Rub” is not in it: it came and went with “Grate”." in n for n in found.notes)


def test_a_change_of_one_contest_is_not_in_it(team, season):
    change = ChangeFactory(team=team, what="Rub", starts_on=TODAY - timedelta(weeks=1, days=3))
    assert any("too few contests with it and without it" in n
               for n in look(team, change=change).notes)  # fmt: skip


def test_offers_are_the_teams_own(team, season, stranger):
    ContestFactory(team=stranger.team, held_on=TODAY + timedelta(days=3))
    ChangeFactory(team=stranger.team)
    selection = replace(ledger_choices(team).select(), season=None)
    found = offers(team, selection, TODAY)
    assert (found.coming, found.changes, len(found.postings)) == ((), (), 1)


@pytest.mark.parametrize("more", [0, 4])
def test_an_outlook_asks_the_same_however_many_contests(
    team, season, cook_contest, more, django_assert_num_queries
):
    for weeks in range(4, 4 + more):
        post(cook_contest(9, 9, 9, 9, 9, weeks=weeks, judges=5), FIELD, place=3)
    selection = replace(ledger_choices(team).select(), season=None)
    rulebook = rulebook_of(team, selection)
    with django_assert_num_queries(3):
        found = offers(team, selection, TODAY)
    with django_assert_num_queries(5):
        hope(team, selection, rulebook, Chosen(None, found.postings[0], None, 3))


def test_many_places_are_drawn_as_far_as_they_fit():
    svg = draw_chances([1 / 60] * 60, 3)
    assert svg.count("<rect") == 40
    assert "Chances of the places 1 to 60" in svg
    assert "the first 3: 5 %" in svg
