from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from teamops.packing import actions
from teamops.packing.models import PackingLine
from teamops.packing.stages import Stage
from tests.factories.packing import PackingLineFactory, ShoppingLineFactory
from tests.factories.teams import UserFactory


@pytest.fixture
def line(db) -> PackingLine:
    return PackingLineFactory(amount=Decimal(4))


def press(line: PackingLine, stage: Stage, *, on: bool = True, by=None) -> PackingLine:
    actions.set_stage(line=line, stage=stage, on=on, by=by or UserFactory())
    line.refresh_from_db()
    return line


def test_a_tick_says_who_and_when_and_twice_is_once(line):
    first = UserFactory()
    press(line, Stage.PACK, by=first)
    when = line.packed_at
    press(line, Stage.PACK)
    assert (line.packed_by, line.packed_at, line.packed_amount) == (first, when, 4)
    press(line, Stage.PACK, on=False)
    press(line, Stage.PACK, on=False)
    assert (line.packed_by, line.packed_at, line.packed_amount) == (None, None, None)


def test_loaded_was_packed_and_unpacked_is_not_loaded(line):
    press(line, Stage.LOAD)
    assert line.packed_at
    assert line.loaded_at
    press(line, Stage.LOAD, on=False)
    assert line.packed_at
    assert not line.loaded_at
    press(line, Stage.LOAD)
    press(line, Stage.PACK, on=False)
    assert not line.loaded_at


def test_loading_a_part_packs_no_more_of_it(line):
    press(line, Stage.PACK)
    PackingLine.objects.update(amount=6)
    press(line, Stage.LOAD)
    assert line.packed_amount == 4
    press(line, Stage.PACK)
    assert line.packed_amount == 6


def test_home_stands_for_itself(line):
    press(line, Stage.HOME)
    assert line.home_at
    assert not line.packed_at
    press(line, Stage.HOME, on=False)
    assert not line.home_at


def test_a_tick_counts_a_write_and_leaves_its_number_on_the_line(line):
    press(line, Stage.PACK)
    line.packing_list.refresh_from_db()
    assert line.touched == line.packing_list.state == 1
    assert line.packing_list.shape == 0


def test_we_have_only_three(line):
    who = UserFactory()
    actions.set_have(line=line, have=Decimal(3), by=who)
    actions.set_have(line=line, have=Decimal(3), by=who)
    line.refresh_from_db()
    assert line.have == 3
    shopping = line.shopping.get()
    assert (shopping.name, shopping.amount, shopping.bought_at) == (line.name, 1, None)
    assert shopping.packing_list == line.packing_list
    assert press(line, Stage.PACK).packed_amount == 3


def test_a_tick_that_claimed_too_much_is_corrected(line):
    press(line, Stage.LOAD)
    actions.set_have(line=line, have=Decimal(1), by=UserFactory())
    line.refresh_from_db()
    assert (line.packed_amount, bool(line.loaded_at)) == (1, True)
    actions.set_have(line=line, have=Decimal(0), by=UserFactory())
    line.refresh_from_db()
    assert (line.packed_amount, line.packed_at, line.loaded_at) == (None, None, None)


def test_nothing_of_which_there_is_none_gets_packed_or_loaded(line):
    actions.set_have(line=line, have=Decimal(0), by=UserFactory())
    assert not press(line, Stage.PACK).packed_at
    assert not press(line, Stage.LOAD).loaded_at


@pytest.mark.parametrize("have", [None, 4, 5])
def test_enough_ends_a_shortage(line, have):
    actions.set_have(line=line, have=Decimal(3), by=UserFactory())
    enough = None if have is None else Decimal(have)
    actions.set_have(line=line, have=enough, by=UserFactory())
    line.refresh_from_db()
    assert line.have is None
    assert not line.shopping.exists()


def test_buying_puts_the_shortage_right_and_back(line):
    who = UserFactory()
    actions.set_have(line=line, have=Decimal(1), by=who)
    shopping = line.shopping.get()
    shopping.amount = Decimal(2)  # the shop had no more
    actions.save_shopping(shopping=shopping)
    bought = actions.set_bought(shopping=shopping, on=True, by=who)
    when = bought.bought_at
    assert actions.set_bought(shopping=shopping, on=True, by=UserFactory()).bought_at == when
    line.refresh_from_db()
    assert line.have == 3
    actions.set_bought(shopping=shopping, on=False, by=who)
    line.refresh_from_db()
    assert (line.have, line.shopping.get().bought_by) == (1, None)


def test_a_whole_package_is_enough(line):
    actions.set_have(line=line, have=Decimal(3), by=UserFactory())
    shopping = line.shopping.get()
    shopping.amount = Decimal(12)
    actions.save_shopping(shopping=shopping)
    actions.set_bought(shopping=shopping, on=True, by=UserFactory())
    line.refresh_from_db()
    assert line.have is None
    actions.set_bought(shopping=shopping, on=False, by=UserFactory())
    line.refresh_from_db()
    assert line.have == 3


def test_short_anew_and_the_first_purchase_taken_back(line):
    """Two open lines for one shortage are never made; the old one stands for itself."""
    who = UserFactory()
    actions.set_have(line=line, have=Decimal(1), by=who)
    first = line.shopping.get()
    actions.set_bought(shopping=first, on=True, by=who)
    actions.set_have(line=line, have=Decimal(2), by=who)
    actions.set_bought(shopping=first, on=False, by=who)
    line.refresh_from_db()
    assert line.have == 2
    assert line.shopping.get().amount == 2
    first.refresh_from_db()
    assert (first.packing_line, first.bought_at) == (None, None)


NOW = timezone.now()


@pytest.mark.parametrize(
    "fields",
    [
        {"packed_at": NOW, "packed_amount": 1},
        {"packed_at": NOW, "packed_by": 1, "packed_amount": None},
        {"loaded_at": NOW},
        {"loaded_by": 1},
        {"home_at": NOW},
        {"amount": Decimal(-1)},
        {"have": Decimal(-1)},
        {"mass_kg": Decimal(-1)},
    ],
)
def test_line_constraints(line, fields):
    person = UserFactory()
    fields = {name: person if name.endswith("_by") else value for name, value in fields.items()}
    with pytest.raises(IntegrityError), transaction.atomic():
        PackingLine.objects.filter(pk=line.pk).update(**fields)


def test_an_item_stands_on_a_list_once(line):
    from tests.factories.inventory import ItemFactory

    item = ItemFactory()
    PackingLine.objects.filter(pk=line.pk).update(item=item)
    with pytest.raises(IntegrityError), transaction.atomic():
        PackingLineFactory(packing_list=line.packing_list, item=item)


@pytest.mark.parametrize("fields", [{"bought_at": NOW}, {"amount": Decimal(-1)}])
def test_shopping_constraints(db, fields):
    with pytest.raises(IntegrityError), transaction.atomic():
        ShoppingLineFactory(**fields)


def test_one_open_line_a_shortage(line):
    ShoppingLineFactory(packing_list=line.packing_list, packing_line=line)
    with pytest.raises(IntegrityError), transaction.atomic():
        ShoppingLineFactory(packing_list=line.packing_list, packing_line=line)


def test_list_constraints(line):
    rows = type(line.packing_list).objects.filter(pk=line.packing_list_id)
    for fields in ({"cooks": 2, "people": 1}, {"cook_hours": Decimal(-1)}):
        with pytest.raises(IntegrityError), transaction.atomic():
            rows.update(**fields)
