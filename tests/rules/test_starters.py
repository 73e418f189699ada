from decimal import Decimal

import pytest
from django.urls import reverse

from teamops.calc.scoring import Sheet, score
from teamops.rules.actions import add_starter_rulebooks
from teamops.rules.models import Rulebook
from teamops.rules.queries import default_rulebook, rulebook_page
from teamops.rules.records import rules_of
from tests.factories.rules import CriterionFactory, RulebookFactory
from tests.factories.teams import TeamFactory


@pytest.fixture
def starters(db) -> dict[str, Rulebook]:
    return {rulebook.name: rulebook for rulebook in add_starter_rulebooks()}


def test_starters_come_once(starters):
    assert set(starters) == {"Open Slate", "Three Pegs", "One Number"}
    assert add_starter_rulebooks() == []
    assert Rulebook.objects.shared().count() == 3


@pytest.mark.parametrize(
    ("name", "full_box"), [("Open Slate", "250"), ("Three Pegs", "180"), ("One Number", "50")]
)
def test_a_full_box(starters, name, full_box):
    """Three Pegs: (0.6 + 2.2 + 1.2) x 9 = 36 a sheet, five of six sheets count."""
    assert rulebook_page(starters[name]).full_box == full_box


def test_a_full_box_of_two_panels_counts_both(db):
    """Five judges give looks at most 10, five others taste: 50 and 50."""
    book = RulebookFactory(criteria=0, sheets_expected=5)
    CriterionFactory(rulebook=book, panel="blind", key="taste", most=10)
    CriterionFactory(rulebook=book, panel="on site", key="looks", most=10)
    assert rulebook_page(book).full_box == "100"


def test_three_pegs_drops_the_lowest_sheet(starters):
    rules = rules_of(starters["Three Pegs"])
    nines = {"looks": Decimal(9), "flavour": Decimal(9), "tenderness": Decimal(9)}
    low = {**nines, "flavour": Decimal(2)}
    result = score([Sheet(str(n), nines) for n in range(5)] + [Sheet("low", low)], rules)
    assert result.total == 180
    assert [row.label for row in result.sheets if not row.counts] == ["low"]


def test_words_of_a_rulebook(starters):
    page = rulebook_page(starters["Three Pegs"])
    assert page.total == (
        "6 judges are expected. The lowest sheet does not count. The total is the sum of "
        "what counts. A missing sheet is replaced by the average of the others."
    )
    assert page.ties[0] == "Flavour marks on the sheets that count"


def test_default_is_open_slate_until_the_team_has_its_own(starters, team):
    assert default_rulebook(team) == starters["Open Slate"]
    own = RulebookFactory(team=team, name="Zebra rules")
    assert default_rulebook(team) == own


def test_pages(starters, signed_in, team):
    page = signed_in.get(reverse("rules:show_rulebooks", args=[team.slug]))
    assert "Three Pegs" in page.content.decode()
    book = starters["Three Pegs"]
    page = signed_in.get(reverse("rules:show_rulebook", args=[team.slug, book.pk]))
    assert "A full box earns <b>180</b>" in page.content.decode()


def test_another_teams_rulebook_is_not_found(signed_in, team):
    theirs = RulebookFactory(team=TeamFactory())
    url = reverse("rules:show_rulebook", args=[team.slug, theirs.pk])
    assert signed_in.get(url).status_code == 404


@pytest.mark.parametrize("books", [1, 12])
def test_list_takes_the_same_queries_however_many(
    books, signed_in, team, django_assert_num_queries
):
    for _ in range(books):
        RulebookFactory(team=team)
    with django_assert_num_queries(5):  # session, person, door, rulebooks, criteria
        signed_in.get(reverse("rules:show_rulebooks", args=[team.slug]))


@pytest.mark.parametrize(
    ("row", "constraint"),
    [
        (lambda: RulebookFactory(name="One", edition="1", team=None), "rulebook_shared"),
        (lambda: RulebookFactory(sheets_least=6), "rulebook_least_sheets"),
        (lambda: CriterionFactory(least=10, most=10), "criterion_least_below_most"),
    ],
)
def test_constraints(db, row, constraint):
    RulebookFactory(name="One", edition="1")
    from django.db import IntegrityError

    with pytest.raises(IntegrityError):
        row()
