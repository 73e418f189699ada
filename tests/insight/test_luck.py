"""How much is luck: shares of the swing, with their picture and their cautions."""

import numpy as np
import pytest
from django.urls import reverse

from teamops.calc.variance import swing_shares
from teamops.insight.queries import ledger_choices
from teamops.insight.queries.luck import luck_of
from tests.calc.test_effects import HALVES
from tests.factories.rules import CriterionFactory, RulebookFactory
from tests.insight.pages import text_of

ALL = "season=all"


def tables(contests: int, judges: int = 4) -> list[list[list[float]]]:
    """Marks in halves that swing with the day, the judge and what is left."""
    rng = np.random.default_rng(4)
    drawn = [
        8 + rng.normal(0, 0.6) + rng.normal(0, 0.5, (judges, 1)) + rng.normal(0, 0.5, (judges, 5))
        for _ in range(contests)
    ]
    return [np.clip(np.round(2 * table) / 2, 1, 10).tolist() for table in drawn]


@pytest.fixture
def season(cook_contest):
    made = tables(5)
    return [cook_contest(table=table, weeks=n + 1) for n, table in enumerate(made)], made


def luck(team):
    return luck_of(team, ledger_choices(team).select())


def test_the_shares_are_those_of_the_sheets(team, season):
    """What the room says of the very marks that were typed."""
    found, known = luck(team), swing_shares(season[1], HALVES)
    percents = [part.percent for part in found.parts]
    assert sum(percents) == 100
    assert percents == pytest.approx(
        [100 * share for share in (known.judges, known.day, known.criterion, known.rest)], abs=1
    )
    assert found.table.percent == round(100 * known.table)
    assert all(0 <= part.low <= part.percent <= part.high <= 100 for part in found.parts)
    assert found.swing == f"{known.swing:.2f}"
    assert found.contests == 5
    assert luck(team) == found  # the same sheets, the same ranges


def test_the_page_says_it_in_one_sentence_with_a_table_and_a_picture(open_page, season):
    page = text_of(open_page("show_luck", query=ALL))
    assert "Of the swing in a single mark, " in page
    assert "From five contests, so roughly." in page
    assert "From five contests, so roughly." in page
    assert "The day’s share is the roughest" in page
    assert page.count("<picture>") == 1
    assert "Shares of the swing in a single mark. The judge " in page
    assert reverse("insight:show_luck", args=["x"]).split("x")[1] in text_of(
        open_page("show_ledger", query=ALL)
    )


def test_a_second_box_of_a_day_is_no_second_day(team, season, cook_contest, open_page):
    """One of the two is read, and the page says so."""
    cook_contest(table=[[1, 1, 1, 1, 1]] * 4, contest=season[0][0].contest)
    found = luck(team)
    assert found.contests == 5
    assert any(note.startswith("One contest with two boxes or more") for note in found.notes)


@pytest.mark.parametrize("contests", [0, 2])
def test_too_few_tell_nothing(team, cook_contest, open_page, contests):
    for n, table in enumerate(tables(contests)):
        cook_contest(table=table, weeks=n + 1)
    page = text_of(open_page("show_luck"))
    said = "Too few contests and sheets" if contests else "No contest with every judge’s marks yet"
    assert said in page
    assert "<picture>" not in page


def test_marks_that_never_differ_tell_nothing(team, cook_contest):
    for weeks in (1, 2, 3):
        cook_contest(9, 9, 9, 9, 9, weeks=weeks)
    assert luck(team).sentence.startswith("Too few contests and sheets")


def test_an_open_scale_is_said(team, cook_contest):
    book = RulebookFactory(criteria=0)
    CriterionFactory(rulebook=book, order=1)
    CriterionFactory(rulebook=book, order=2, name="Bonus", most=None)
    for weeks in (1, 2, 3):
        cook_contest(9, weeks, weeks=weeks, rulebook=book)
    assert luck(team).sentence.startswith("The rulebook leaves a scale open")


def test_blanks_and_contests_left_out_are_not_read(team, season, open_page):
    out = season[0][0].contest.pk
    answer = open_page("show_luck", query=f"{ALL}&out={out}")
    assert answer.status_code == 200
    assert "from 4 contests with whole sheets" in text_of(answer)


def picture(open_page, key: str, **headers: str):
    return open_page("draw_luck", key, query=ALL, **headers)


def test_the_picture_names_every_share(open_page, team, season):
    found = luck(team)
    answer = picture(open_page, found.key)
    assert answer["Cache-Control"] == "private, max-age=31536000, immutable"
    drawn = answer.content.decode()
    for part in found.parts:
        assert f"{part.name}: {part.percent} %" in drawn
    again = picture(open_page, found.key, **{"If-None-Match": answer["ETag"]})
    assert again.status_code == 304
    assert picture(open_page, "older")["Cache-Control"] == "private, no-cache"


def test_without_shares_the_picture_says_so(open_page, cook_contest):
    assert picture(open_page, "none").status_code == 404
    cook_contest(9, 8, 9, 9, 9)
    assert "Too few contests to tell" in picture(open_page, "none").content.decode()


@pytest.mark.parametrize("query", ["category=x", "since=2027-02-02&until=2027-01-01"])
def test_a_choice_that_is_none_is_said(season, open_page, query):
    assert open_page("show_luck", query=query).status_code == 422
    assert open_page("draw_luck", "key", query=query).status_code == 404


def test_the_page_is_kept_until_a_sheet_changes(season, open_page, monkeypatch):
    open_page("show_luck", query=ALL)
    monkeypatch.setattr(
        "teamops.insight.views.luck.luck_of", lambda *args: pytest.fail("worked out again")
    )
    assert "Of the swing in a single mark, " in text_of(open_page("show_luck", query=ALL))


@pytest.mark.parametrize("contests", [3, 9])
def test_three_queries_however_many_contests(
    team, cook_contest, contests, django_assert_num_queries
):
    for n, table in enumerate(tables(contests, 2)):
        cook_contest(table=table, weeks=n + 1)
    selection = ledger_choices(team).select()
    with django_assert_num_queries(3):
        assert luck_of(team, selection).contests == contests
