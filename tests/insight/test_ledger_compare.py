"""Losses side by side: groups of one dimension, each with its own range, none overclaimed."""

from decimal import Decimal

import pytest
from django.utils.safestring import SafeString

from teamops.insight.queries import ledger_choices
from teamops.insight.queries.compare import comparison
from teamops.insight.queries.compare_groups import dimensions
from teamops.insight.queries.compare_words import Block, GroupLine, beside_words
from tests.factories.rules import CriterionFactory, RulebookFactory
from tests.factories.teams import UserFactory
from tests.insight.pages import text_of

YEAR = 53  # weeks


@pytest.fixture
def seasons(cook_contest):
    """Doneness loses 20 points a contest in 2026, 5 in 2027, at three contests each."""
    for week in (1, 2, 3):
        cook_contest(10, 9, 10, 10, 9.5, weeks=week)
        cook_contest(10, 6, 10, 10, 9.5, weeks=week + YEAR)


def beside(team, by: str, **chosen):
    choices = ledger_choices(team)
    selection = choices.select(chosen.get("category"), chosen.get("rulebook"))
    return comparison(team, choices, selection, by)


def lines(found, name: str) -> dict[str, float]:
    (block,) = [block for block in found.blocks if block.name == name]
    return {line.group: round(line.lost, 6) for line in block.lines}


def test_seasons_stand_side_by_side(team, seasons):
    found = beside(team, "season")
    assert lines(found, "Doneness") == {"2026": 20, "2027": 5}
    assert [(one.name, one.contests, one.lost) for one in found.sums] == [
        ("2026", "3 contests", pytest.approx(22.5)),
        ("2027", "3 contests", pytest.approx(7.5)),
    ]
    assert found.unit == "points"
    assert "Likely ranges lie apart in doneness (2026 and 2027)" in found.sentence
    assert (
        "That is a hint and no proof: of pairs that do not differ about one in 15 lies apart by "
        "luck, and 5 pairs were looked at."
    ) in found.sentence


def test_a_group_of_two_contests_shows_averages_only(team, cook_contest):
    for week in (1, 2, YEAR, YEAR + 1):
        cook_contest(10, 9, 10, 10, 9.5, weeks=week)
    found = beside(team, "season")
    assert all(line.low is None for block in found.blocks for line in block.lines)
    assert found.sentence == (
        "No two groups have three contests each, so nothing can be said but the averages."
    )
    assert found.notes == ("Averages only for 2026 and 2027: fewer than three contests.",)


def test_groups_alike_are_not_called_different(team, cook_contest):
    for week, doneness in zip((1, 2, 3, 54, 55, 56), (8, 9, 8.5, 8.5, 8, 9), strict=True):
        cook_contest(10, doneness, 9, 9.5, 9.5, weeks=week)
    assert beside(team, "season").sentence == (
        "No two likely ranges of a criterion lie apart: nothing here tells the groups apart."
    )


def test_two_rulebooks_are_held_in_percent_of_a_full_box(team, cook_contest):
    """Twenty points lost in both: of a box of 250, and of one of 100."""
    short = RulebookFactory(name="Short", criteria=0)
    for order, name in enumerate(("Doneness", "Crust"), 1):
        CriterionFactory(rulebook=short, order=order, name=name)
    for week in (1, 2, 3):
        cook_contest(10, 6, 10, 10, 10, weeks=week)
        cook_contest(6, 10, weeks=week + 3, rulebook=short)
    found = beside(team, "rulebook")
    assert found.unit == "% of a full box"
    assert lines(found, "Doneness") == {"Open Slate 1": 8, "Short 1": 20}
    assert lines(found, "Crust") == {"Short 1": 0}


def test_categories_say_by_which_rulebook(team, cook_contest):
    first = cook_contest(10, 6, 10, 10, 10)
    cook_contest(10, 9, 10, 10, 10, contest=first.contest, category="Chicken")
    found = beside(team, "category")
    assert lines(found, "Doneness") == {
        "Chicken, by Open Slate 1": 5, "Ribeye, by Open Slate 1": 20,
    }  # fmt: skip
    assert "A contest with boxes in two groups counts in each of them." in found.notes


def test_cooks_places_and_weather(team, cook_contest):
    orla = UserFactory(name="Orla")
    for week, (doneness, cook, guest, place, air, rain) in enumerate(
        [
            (8, orla, "", "Low Ferry", 5, "yes"),
            (6, None, "Piet", "low ferry", 30, "no"),
            (4, None, "", "", None, ""),
        ],
        1,
    ):
        entry = cook_contest(10, doneness, 10, 10, 10, weeks=week)
        entry.cook_of_record, entry.guest_cook = cook, guest
        entry.save()
        entry.contest.place, entry.contest.rain = place, rain
        entry.contest.air_c = None if air is None else Decimal(air)
        entry.contest.save()
    two = cook_contest(10, 2, 10, 10, 10, contest=entry.contest)
    two.guest_cook = "Jory"
    two.save()
    choices = ledger_choices(team)
    assert list(dimensions(choices)) == ["cook", "rain", "air"]
    assert lines(beside(team, "cook"), "Doneness") == {"Orla": 10, "Guests": 30, "Nobody noted": 30}
    assert lines(beside(team, "place"), "Doneness") == {"Low Ferry": 15, "Not noted": 35}
    assert lines(beside(team, "rain"), "Doneness") == {
        "Dry": 20, "In the rain": 10, "Not noted": 35,
    }  # fmt: skip
    assert lines(beside(team, "air"), "Doneness") == {
        "Cold, below 50 °F": 10, "Hot, 77 °F or more": 20, "Not noted": 35,
    }  # fmt: skip


def line(group: str, low: float | None, high: float | None) -> GroupLine:
    return GroupLine(group, 1, low, high, SafeString(""))


@pytest.mark.parametrize(
    ("blocks", "groups", "words"),
    [
        ([], 1, "There is only one group, so nothing to hold it against."),
        ([Block("Taste", (line("A", None, None), line("B", 1, 2)))], 2, "No two groups have three"),
        ([Block("Taste", (line("A", 1, 2), line("B", 1.9, 3)))], 2, "No two likely ranges"),
        (
            [Block("Taste", (line("A", 1, 2), line("B", 2.5, 3)))],
            2,
            (
                "Likely ranges lie apart in taste (A and B). That is a hint and no proof: where "
                "nothing differs it happens by luck about one time in 15."
            ),
        ),
    ],
)
def test_no_sentence_is_stronger_than_the_ranges(blocks, groups, words):
    assert beside_words(blocks, groups).startswith(words)


# The page ----------------------------------------------------------------------------------------


def test_the_page_holds_the_chosen_groups_side_by_side(open_page, team, seasons):
    page = text_of(open_page("show_comparison", query="by=season&season=2027"))
    assert "Ribeye</span>, all seasons</h2>" in page
    assert page.count('scope="rowgroup"') == 6
    assert "2026" in page
    assert '<option value="season" selected>' in page


def test_without_two_of_anything_the_page_says_so(open_page, cook_contest):
    assert "No contest with every judge’s marks yet" in text_of(open_page("show_comparison"))
    cook_contest(10, 8, 10, 10, 10)
    assert "nothing to hold side by side yet" in text_of(open_page("show_comparison"))


@pytest.mark.parametrize("query", ["by=luck", "by=cook", "by=season&season=x"])
def test_what_cannot_be_chosen_is_refused(open_page, seasons, query):
    assert open_page("show_comparison", query=query).status_code == 422


@pytest.mark.parametrize("contests", [2, 6])
def test_three_queries_however_many_contests(
    team, cook_contest, contests, django_assert_num_queries
):
    for week in range(contests):
        cook_contest(10, 8, 10, 10, 10, weeks=1 + week * 30, judges=2)
    choices = ledger_choices(team)
    with django_assert_num_queries(3):
        comparison(team, choices, choices.select(), "season")


def test_rulebooks_that_let_no_loss_be_told_are_left_out_and_said(team, cook_contest):
    low = RulebookFactory(name="Golf", direction="low")
    cook_contest(10, 8, 10, 10, 10, weeks=1)
    cook_contest(10, 8, 10, 10, 10, weeks=2)
    cook_contest(10, 8, 10, 10, 10, weeks=3, rulebook=low)
    found = beside(team, "rulebook")
    assert [one.name for one in found.sums] == ["Open Slate 1"]


@pytest.fixture
def two_books(cook_contest):
    """Two criteria, weighed 1 and 1 by Alder, 1 and 3 by Birch; a better box by Birch."""
    books = []
    for name, weight in (("Alder", 1), ("Birch", 3)):
        book = RulebookFactory(name=name, edition="", criteria=0)
        CriterionFactory(rulebook=book, order=1, key="look", name="Look")
        CriterionFactory(rulebook=book, order=2, key="taste", name="Taste", weight=weight)
        books.append(book)
    for week in (1, 2, 3, 4):
        cook_contest(8, 6, weeks=week, rulebook=books[0])
    for week in (5, 6, 7):
        cook_contest(9, 8, weeks=week, rulebook=books[1])
    return books


def test_better_marks_and_other_weights_are_taken_apart(team, two_books):
    """
    By hand, Kitagawa's averages: a mark of Alder's is worth 5 and 5 % of a full box, of Birch's 2.5
    and 7.5. Marks 1 × 3.75 + 2 × 6.25 = 16.25; weights −2.5 × 8.5 + 2.5 × 7 = −3.75; together 12.5,
    which is 82.5 − 70.
    """
    apart = beside(team, "rulebook").apart
    assert [row[1:] for row in apart.rows] == [
        ("+3.75", "−21.25", "−17.50"),
        ("+12.50", "+17.50", "+30.00"),
    ]
    assert apart.sums[1:] == ("+16.25", "−3.75", "+12.50")
    assert apart.sentence == (
        "By Birch our boxes earned 12.50 % of a full box more than by Alder: +16.25 by the marks,"
        " −3.75 because the criteria weigh otherwise."
    )


def test_nothing_is_taken_apart_where_weights_or_scales_do_not_allow(team, two_books):
    assert beside(team, "season").apart is None
    taste = two_books[1].criteria.get(key="taste")
    for weight, most in ((1, 10), (3, 9)):
        taste.weight, taste.most = weight, most
        taste.save()
        assert beside(team, "rulebook").apart is None


def test_the_page_shows_the_parts(team, two_books, open_page):
    page = text_of(open_page("show_comparison", query="by=rulebook"))
    assert "Better marks, or other weights" in page
    assert "by the weights" in page
