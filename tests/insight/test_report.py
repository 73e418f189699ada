"""The season report: results, where the points went, whether marks moved, what to work on."""

from datetime import timedelta
from uuid import uuid4

import pytest

from teamops.insight.queries.changes_list import ChangeRow
from teamops.insight.queries.report_words import change_words, headline_words
from tests.factories.judging import ChangeFactory
from tests.insight.conftest import TODAY
from tests.insight.pages import text_of
from tests.paper.papers import text_of as words_of


@pytest.mark.parametrize(
    ("placings", "shares", "contests", "words"),
    [
        ([], [], 0, "Nothing was judged in this time."),
        ([(3, 20, "Wet Boots")], [0.8], 1, "One contest; best 3rd of 20 at Wet Boots."),
        ([(None, None, "Wet Boots")], [], 1, "One contest."),
        ([(2, None, "A"), (2, 40, "B")], [], 2, "Two contests; best 2nd of 40 at B."),
        (
            [(3, 20, "A"), (1, 20, "B"), (18, 20, "C")],
            [0.8, 0.9, 0.85],
            2,
            (
                "Two contests, 3 boxes; best 1st of 20 at B. Usually in the first quarter of the "
                "field. The middle total was 85.0 % of a full box."
            ),
        ),
    ],
)
def test_the_first_sentence(placings, shares, contests, words):
    assert headline_words(placings, shares, contests) == words


@pytest.mark.parametrize(
    ("verdict", "look", "words"),
    [
        (
            "clear: taste up 0.6",
            "ok",
            "“Brine”: marks differ with it by more than luck, taste up 0.6.",
        ),
        (
            "clear: taste up 0.6, but something else changed too",
            "due",
            (
                "“Brine”: marks differ by more than luck, taste up 0.6, but something else changed "
                "at mostly the same contests. Turn it alone on and off."
            ),
        ),
        ("leaning up", "due", "“Brine” is not settled (leaning up): turn it alone on and off."),
    ],
)
def test_no_change_is_said_to_have_done_it(verdict, look, words):
    row = ChangeRow(uuid4(), "Brine", "", "", None, "", verdict, look, "", None)
    assert list(change_words([row])) == [words]


def test_it_says_what_usually_costs_most(open_page, cook_contest):
    for weeks in range(8, 0, -1):
        cook_contest(9, 9, 9, 5 + weeks % 2 / 2, 9, weeks=weeks)
    page = text_of(open_page("show_report"))
    assert "Eight contests" in page
    assert "<li>Texture first: it usually costs most," in page


def test_a_few_contests_rank_nothing(open_page, cook_contest):
    cook_contest(9, 9, 9, 5, 9, weeks=1)
    page = text_of(open_page("show_report"))
    assert "Too few contests to say what usually costs most. So far it was texture" in page
    assert "Better or worse" not in page


def test_halves_are_compared_and_swings_are_not_called_a_change(open_page, cook_contest):
    for weeks in range(8, 0, -1):
        cook_contest(8 + weeks % 2, 8 + weeks % 2, 6 if weeks > 4 else 9, 8, 8, weeks=weeks)
    page = open_page("show_report")
    rows = {row.name: row for row in page.context["report"].trends}
    assert rows["Taste"].words.startswith("up 3.0")
    assert rows["Appearance"].words.startswith("the same: within the usual swing of ±")
    assert "The first 4 contests against the last 4" in text_of(page)


def test_what_was_docked_and_disqualified_is_said(open_page, cook_contest):
    entry = cook_contest(9, 9, 9, 8, 9, weeks=2)
    cook_contest(9, 9, 9, 8, 9, weeks=1)
    entry.disqualified = True
    entry.save()
    report = open_page("show_report").context["report"]
    assert [row.remark for row in report.rows] == ["disqualified", ""]
    assert [number for number, _ in report.shares] == ["2"]


def test_an_empty_season_says_what_to_do_first(open_page):
    assert "No contest with every judge’s marks yet" in text_of(open_page("show_report"))
    assert open_page("print_report").status_code == 404


def test_a_choice_that_is_none_is_said_beside_its_field(open_page, cook_contest):
    cook_contest(9, 9, 9, 8, 9, weeks=1)
    answer = open_page("show_report", query="season=soon")
    assert answer.status_code == 422
    assert "That is not one of the choices any more." in text_of(answer)


def test_paper_says_the_same(open_page, cook_contest):
    for weeks in range(6, 0, -1):
        cook_contest(9, 9, 9, 5 + weeks % 2 / 2, 9, weeks=weeks, name=f"Slag Heap {weeks}")
    answer = open_page("print_report")
    assert answer["Content-Type"] == "application/pdf"
    words = words_of(answer.content)
    for said in ("What to work on next", "Slag Heap 6", "Where the points went", "Better or worse"):
        assert said in words


def test_queries_do_not_grow(open_page, cook_contest, django_assert_num_queries):
    counts = []
    for weeks in (6, 5, 4, 3):
        cook_contest(9, 9, 9, 8, 9, weeks=weeks)
    open_page("show_report")
    for weeks in (2, 1):
        with django_assert_num_queries(31) as seen:
            open_page("show_report")
        counts.append(len(seen))
        cook_contest(9, 9, 9, 8, 9, weeks=weeks)
    assert len(set(counts)) == 1


def test_a_change_of_every_box_is_told_from_the_reports_category(open_page, cook_contest, team):
    """In the main category it can be told; of chicken there is one contest, so nothing can."""
    for weeks in range(4, 12):
        cook_contest(9, 8 if weeks > 7 else 9, 9, 8, 9, weeks=weeks)
    chicken = cook_contest(7, 7, 7, 7, 7, weeks=1, category="Chicken")
    ChangeFactory(team=team, what="Brine", starts_on=TODAY - timedelta(weeks=7, days=3))
    ChangeFactory(team=team, what="Rack", starts_on=TODAY - timedelta(weeks=5, days=3))
    main = open_page("show_report").context["report"]
    assert {row.told_from.split(":")[0] for row in main.changes} == {"Ribeye"}
    assert main.changes_luck.startswith("Two changes are compared here.")
    page = open_page("show_report", query=f"category={chicken.category_id}")
    rows = page.context["report"].changes
    assert [row.verdict for row in rows] == ["no comparison yet"] * 2
    assert "Ribeye:" not in {row.told_from[:7] for row in rows}
    assert page.context["report"].changes_luck == ""
