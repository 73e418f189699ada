"""A ledger of one cook, one place or one weather."""

from decimal import Decimal

import pytest

from teamops.insight.queries.choices import Choices
from teamops.insight.queries.narrow import Narrow, air_words, held
from tests.factories.teams import UserFactory
from tests.insight.conftest import TODAY
from tests.insight.pages import text_of

ALL = "season=all"


@pytest.fixture
def cooks(db):
    return UserFactory(name="Orla"), UserFactory(name="Bram")


@pytest.fixture
def season(cook_contest, cooks, today):
    """Three contests of Orla's losing 10 points in doneness, two of Bram's losing 20, a guest's."""

    def at(entry, **noted):
        cook, guest = noted.pop("cook", None), noted.pop("guest", "")
        entry.cook_of_record, entry.guest_cook = cook, guest
        entry.save()
        for name, value in noted.items():
            setattr(entry.contest, name, value)
        entry.contest.save()

    orla, bram = cooks
    wet = {"rain": "yes", "wind": "no", "air_c": Decimal("9.9999")}
    dry = {"rain": "no", "wind": "yes", "air_c": Decimal(25)}
    at(cook_contest(10, 8, 10, 10, 10, weeks=1), cook=orla, place="Shinglestrand", **wet)
    at(cook_contest(10, 8, 10, 10, 10, weeks=2), cook=orla, place=" shinglestrand", **dry)
    at(cook_contest(10, 8, 10, 10, 10, weeks=3), cook=orla, place="Low Ferry")
    at(cook_contest(10, 6, 10, 10, 10, weeks=4), cook=bram, place="Low Ferry", air_c=Decimal(10))
    at(cook_contest(10, 6, 10, 10, 10, weeks=5), cook=bram, **dry)
    at(cook_contest(10, 2, 10, 10, 10, weeks=6), cook=orla, guest="Uncle Piet")


def narrowed(open_page, query: str):
    answer = open_page("show_ledger", query=f"{ALL}&{query}")
    assert answer.status_code == 200
    return answer


@pytest.mark.parametrize(
    ("query", "contests", "lost", "words"),
    [
        ("cook=orla", 3, 10, "cooked by Orla"),
        ("cook=bram", 2, 20, "cooked by Bram"),
        ("cook=guests", 1, 40, "cooked by guests"),
        ("place=shinglestrand", 2, 10, "at Shinglestrand"),
        ("place=low+ferry", 2, 15, "at Low Ferry"),
        ("rain=yes", 1, 10, "in the rain"),
        ("rain=no", 2, 15, "dry"),
        ("wind=yes", 2, 15, "in strong wind"),
        ("wind=no", 1, 10, "without strong wind"),
        ("air=cold", 1, 10, "cold air"),
        ("air=mild", 1, 20, "mild air"),
        ("air=hot", 2, 15, "hot air"),
        ("cook=orla&rain=no", 1, 10, "cooked by Orla, dry"),
    ],
)
def test_the_ledger_is_of_what_was_asked_for(
    season, cooks, open_page, query, contests, lost, words
):
    """Averages by hand; the heading says what it is of, and the pictures' addresses too."""
    for cook in cooks:
        query = query.replace(cook.name.lower(), str(cook.pk))
    answer = narrowed(open_page, query)
    ledger = answer.context["board"].ledger
    assert ledger.contests == contests
    assert ledger.rows[1].lost == pytest.approx(lost)
    page = text_of(answer)
    assert f"</span>, all seasons, {words}</h2>" in page
    assert f"Open Slate 1 ({contests} contest" in page
    if contests > 1:
        assert f"&amp;{query.replace('&', '&amp;')}" in page or query in page


def test_only_what_tells_contests_apart_is_asked(cook_contest, open_page, season, cooks):
    page = text_of(open_page("show_ledger", query=ALL))
    assert "Only one cook, place or weather" in page
    assert [f">{name}<" in page for name in ("Orla", "Bram", "guests", "Low Ferry")] == [True] * 4
    assert "cold, below 50 °F" in page
    assert "mild, 50 °F to below 77 °F" in page


def test_nothing_is_asked_where_nothing_is_noted(cook_contest, open_page):
    cook_contest(10, 8, 10, 10, 10)
    assert "Only one cook" not in text_of(open_page("show_ledger"))


@pytest.mark.parametrize("query", ["cook=999", "cook=x", "place=nowhere", "rain=maybe", "air=%00"])
def test_what_nobody_can_choose_is_refused_and_said(season, open_page, query):
    answer = open_page("show_ledger", query=f"{ALL}&{query}")
    assert answer.status_code == 422
    assert "That is not one of the choices any more." in text_of(answer)


def test_two_cooks_at_one_contest_stay_apart(cook_contest, open_page, cooks):
    """Each cooked a box: together they are one day, and each ledger reads its own box."""
    ours = cook_contest(10, 8, 10, 10, 10)
    theirs = cook_contest(10, 4, 10, 10, 10, contest=ours.contest)
    for entry, cook in zip((ours, theirs), cooks, strict=True):
        entry.cook_of_record = cook
        entry.save()
    lost = [
        narrowed(open_page, query).context["board"].ledger.rows[1].lost
        for query in ("", f"cook={cooks[0].pk}", f"cook={cooks[1].pk}")
    ]
    assert lost == pytest.approx([20, 10, 30])
    assert "Open Slate 1 (1 contest)" in text_of(open_page("show_ledger"))


def test_the_bounds_are_said_in_the_teams_units():
    assert air_words("metric")["hot"] == "hot, 25 °C or more"
    assert [held(TODAY, "", "", "", Decimal(c)).air for c in ("9.9999", "10", "24.9", "25")] == [
        "cold", "mild", "mild", "hot",
    ]  # fmt: skip
    assert Choices().narrow({"cook": "", "place": ""}) == Narrow()
