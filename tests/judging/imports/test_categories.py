"""Categories that tables name or that are chosen; none is taken for a steak by mistake."""

import pytest

from teamops.contests.models import Category
from teamops.judging.imports import guess, plan, read_text, take_in
from teamops.judging.imports.categories import is_steak
from tests.factories.contests import CategoryFactory
from tests.factories.rules import RulebookFactory
from tests.judging.imports.tables import batch_of

TABLE = "Contest,Date,Judge,Appearance,Doneness,Taste\nDry Creek,2025-05-03,1,8,9,8\n"


@pytest.fixture(autouse=True)
def book(db):
    return RulebookFactory(name="Open Slate")


@pytest.mark.parametrize("name", ["Ribeye", "Rib-eye", "NY strip", "Steak", "T-bone", "Fillet"])
def test_a_whole_cut_of_beef_is_a_steak(name):
    assert is_steak(name)


@pytest.mark.parametrize(
    "name", ["Chicken", "Chicken fillet", "Pork tenderloin", "Tuna steak", "Chopped steak, ground",
             "Dessert", "Main", "Burger"],
)  # fmt: skip
def test_anything_else_is_none(name):
    assert not is_steak(name)


@pytest.mark.parametrize(("name", "ancillary"), [("Strip", False), ("Chicken thighs", True)])
def test_a_category_made_by_a_table_is_ancillary_unless_it_is_a_steak(team, cook, name, ancillary):
    """Where no aim is known, a medium steak's temperature would be assumed of what is not."""
    text = f"Contest,Date,Category,Judge,Taste\nDry Creek,2025-05-03,{name},1,8\n"
    take_in(batch=batch_of(team, cook.user, read_text(text).rows), by=cook.user)
    assert Category.objects.for_team(team).get(name=name).ancillary is ancillary


def test_a_table_of_no_category_can_be_of_a_new_one(team, cook):
    CategoryFactory(team=team, name="Ribeye")
    rows = read_text(TABLE).rows
    asked = next(one for one in plan(team, rows, guess(rows, team)).questions)
    assert (asked.key, asked.chosen) == ("category", "Ribeye")
    assert ("Strip", "Strip, new here") in asked.options
    take_in(batch=batch_of(team, cook.user, rows, category="Strip"), by=cook.user)
    assert not Category.objects.for_team(team).get(name="Strip").ancillary
