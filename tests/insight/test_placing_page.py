"""The page of a better mark: what is asked for, what is refused, its picture, what is kept."""

import re
from decimal import Decimal
from xml.etree import ElementTree as ET

import pytest
from django.urls import reverse

from teamops.insight.pictures.placing import curve_picture
from teamops.insight.queries.placing import box_curve
from tests.factories.contests import EntryFactory
from tests.factories.judging import PostingFactory
from tests.insight.pages import text_of
from tests.insight.test_placing import GOOD, HALF, post

LIST = [(1, "Ash", 230), (2, "Birch", 227), (4, "Cedar", 220)]


@pytest.fixture
def entry(cook_contest):
    """One contest, 225 of 250, third of four."""
    entry = cook_contest(*GOOD)
    post(entry, LIST, place=3)
    return entry


def test_the_page_says_what_a_cook_wants_first(open_page, entry):
    page = text_of(open_page("show_better"))
    assert page.index("Which step up is worth most") < page.index("Move the marks")
    assert "+0.5 is worth the same in every criterion: +2.5 points at the last contest." in page
    assert "At the last contest +0.5 in appearance would have been worth +2.5 points." in page
    assert "2nd instead of 3rd of 4" in page
    assert 'name="step-appearance"' in page
    assert 'aria-current="page">A better mark' in page


def test_what_would_tell_a_place_is_said_where_none_can_be_told(open_page, cook_contest, entry):
    assert "Points only:" not in text_of(open_page("show_better"))
    cook_contest(*GOOD, weeks=3)
    assert "Points only: no list of that field is kept" in text_of(open_page("show_better"))


def test_steps_stand_in_the_address(open_page, entry):
    page = text_of(open_page("show_better", query="step-taste=1&step-doneness=0%2C5"))
    assert "+0.5 in doneness and +1 in taste would have been worth +7.5 points." in page
    assert 'value="0.5"' in page or 'value="0,5"' in page
    none = text_of(open_page("show_better", query="step-taste=0"))
    assert "No mark is moved: write a step above." in none


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("lots", "“lots” is not a number."),
        ("0.3", "Taste is given in half marks; 0.3 is in between."),
        ("-9.5", "Taste goes from 1 to 10."),
        ("99999", "“99999” is too large to keep: 4 digits before the point."),
        ("%00", "This holds a character that cannot be stored."),
    ],
)
def test_a_step_that_cannot_be_is_told_and_stays_typed(open_page, entry, typed, words):
    answer = open_page("show_better", query=f"step-taste={typed}&step-doneness=1")
    assert answer.status_code == 422
    page = text_of(answer)
    assert words in page
    assert re.search(
        'name="step-doneness"[^>]* value="1"|value="1"[^>]* name="step-doneness"', page
    )
    if "%" not in typed:
        assert f'value="{typed}"' in page
    assert "would have been worth" not in page.split("Move the marks")[1].split("next contest")[0]


def test_a_step_down_is_a_step(open_page, entry):
    page = text_of(open_page("show_better", query="step-taste=%E2%88%921"))
    assert "−1 in taste would have been worth −5 points." in page


@pytest.mark.parametrize("query", ["category=x", "prizes=none", "prizes=0", "field=7", "season=no"])
def test_bad_choices_are_told(open_page, entry, query):
    assert open_page("show_better", query=query).status_code == 422


def test_a_list_of_another_category_gives_way(open_page, entry):
    other = PostingFactory()
    answer = open_page("show_better", query=f"field={other.pk}&all=1&curve=x")
    assert answer.status_code == 200
    assert "Against a field like Contest 1 weeks ago" in text_of(answer)


def test_without_marks_the_page_says_what_it_will_show(open_page):
    assert "No contest with every judge’s marks yet" in text_of(open_page("show_better"))


def test_without_a_list_the_next_contest_waits(open_page, cook_contest):
    cook_contest(*GOOD)
    page = text_of(open_page("show_better"))
    assert "No posted list with totals is kept for this category" in page


def test_names_are_written_as_text(open_page, cook_contest):
    entry = cook_contest(*GOOD, name="<b>Bold</b>")
    post(entry, [(1, "<i>Ash</i>", "227.5")], place=2)
    page = text_of(open_page("show_better", query="step-taste=0.5"))
    assert "<b>Bold</b>" not in page
    assert "<i>Ash</i>" not in page
    assert "&lt;i&gt;Ash" in page


def test_the_placing_curve(team, entry):
    curve = box_curve(team, entry.pk, {"taste": HALF})
    assert curve.rows == [("1st", "+5"), ("2nd", "+2")]
    assert (curve.place.first, curve.entries) == (3, 4)
    assert curve.words == (
        "Place against extra points at Contest 1 weeks ago: we were 3rd of 4. +5 levels with the "
        "1st. The move of +2.5 makes it 2nd."
    )
    for theme in ("light", "dark"):
        svg = curve_picture(curve, theme)
        words = [text.text for text in ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")]
        assert {"ours, 3rd", "+2.5: 2nd", "extra points", "Place of 4", "1st"} <= set(words)
    assert curve.key != box_curve(team, entry.pk, {}).key


def test_the_curve_has_an_address_of_its_own(open_page, entry, team):
    curve = box_curve(team, entry.pk, {"taste": HALF})
    answer = open_page("draw_curve", entry.pk, curve.key, query="step-taste=0.5&theme=dark")
    assert answer["Content-Type"] == "image/svg+xml"
    assert "immutable" in answer["Cache-Control"]
    assert "unsafe-inline" in answer["Content-Security-Policy"]
    again = open_page("draw_curve", entry.pk, curve.key, query="step-taste=0.5&theme=dark",
                      **{"if-none-match": answer["ETag"]})  # fmt: skip
    assert again.status_code == 304
    stale = open_page("draw_curve", entry.pk, "old", query="step-taste=0.5")
    assert "no-cache" in stale["Cache-Control"]
    page = open_page("show_better", query="step-taste=0.5").content.decode()
    assert f"{curve.key}.svg?step-taste=0.5&amp;theme=light" in page


def test_no_curve_no_picture(open_page, cook_contest):
    bare = cook_contest(*GOOD, weeks=3)
    assert open_page("draw_curve", bare.pk, "x").status_code == 404


def test_another_teams_curve_is_not_found(open_page, stranger):
    theirs = EntryFactory(contest__team=stranger.team)
    assert open_page("draw_curve", theirs.pk, "x").status_code == 404


def test_the_asked_for_curve_is_drawn(open_page, cook_contest, entry):
    other = cook_contest(*GOOD, weeks=5, name="Older one")
    post(other, [(1, "Ash", 240)], place=2)
    plain = open_page("show_better")
    assert 'the place they make: <span dir="auto">Contest 1 weeks ago' in text_of(plain)
    asked = open_page("show_better", query=f"curve={other.pk}")
    assert 'the place they make: <span dir="auto">Older one' in text_of(asked)


def test_a_kept_page_shows_what_was_changed_since(open_page, signed_in, team, entry, settings):
    settings.KEEPS_PAGES = True
    assert "2nd instead of 3rd of 4" in text_of(open_page("show_better"))
    assert "2nd instead of 3rd of 4" in text_of(open_page("show_better"))
    entry.official_total = Decimal(229)
    entry.save()
    type(team).objects.filter(pk=team.pk).restamp()
    assert "1st instead of 3rd of 4" in text_of(open_page("show_better"))


@pytest.mark.parametrize("contests", [1, 6])
def test_the_page_asks_the_same_however_many_contests(
    open_page, cook_contest, contests, django_assert_num_queries
):
    for weeks in range(1, contests + 1):
        one = cook_contest(*GOOD, weeks=weeks, judges=2)
        post(one, [(1, "Ash", 99), (2, "Birch", 98), (4, "C", 80), (5, "D", 70)], place=3)
    open_page("show_better")
    with django_assert_num_queries(PAGE_QUERIES):
        answer = open_page("show_better")
    assert answer.status_code == 200


PAGE_QUERIES = 24


def test_the_page_is_a_readers_too(client, reader, entry, today):
    client.force_login(reader.user)
    url = reverse("insight:show_better", args=[reader.team.slug])
    assert "Which step up is worth most" in text_of(client.get(url))
