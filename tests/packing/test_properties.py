"""Whatever the numbers, working a list out again keeps what people did."""

from decimal import Decimal

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from teamops.calc.demand import Condition
from teamops.packing import actions
from teamops.packing.models import PackingLine, PackingList
from teamops.packing.stages import Stage
from teamops.teams.models import User
from tests.packing.conftest import numbers

small = st.integers(0, 5)
conditions = st.lists(st.sampled_from(["charcoal", "own_meat", "rain"]), unique=True)
given_numbers = st.fixed_dictionaries(
    {"entries": small, "days": small, "cooks": small, "people": st.just(5),
     "cook_hours": st.decimals(0, 9, places=2), "conditions": conditions}
)  # fmt: skip
# A press: which line, which stage, and whether it shall be so.
presses = st.lists(st.tuples(st.integers(0, 3), st.sampled_from(Stage), st.booleans()), max_size=5)
again = settings(
    max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def make(trip, kit, by: User, given: dict) -> PackingList:
    PackingList.objects.filter(trip=trip).delete()
    return actions.make_list(
        packing_list=numbers(trip, **given), kits=[kit], with_starters=False, by=by
    )


def press(packing_list: PackingList, pressed, by: User) -> None:
    lines = list(packing_list.lines.all())
    for place, stage, on in pressed:
        if place < len(lines):
            actions.set_stage(line=lines[place], stage=stage, on=on, by=by)


def remake(packing_list: PackingList, by: User, given: dict) -> list[str]:
    fresh = PackingList.objects.get(pk=packing_list.pk)
    for name, value in given.items():
        setattr(fresh, name, value)
    return actions.remake_list(packing_list=fresh, kits=None, seen=fresh.version, by=by)


def stored(packing_list: PackingList) -> list[dict]:
    return list(packing_list.lines.order_by("pk").values())


@again
@given(first=given_numbers, pressed=presses)
def test_the_same_numbers_change_nothing(trip, kit, owner, first, pressed):
    packing_list = make(trip, kit, owner.user, first)
    press(packing_list, pressed, owner.user)
    before = stored(packing_list)
    assert remake(packing_list, owner.user, first) == []
    assert stored(packing_list) == before


@again
@given(first=given_numbers, then=given_numbers, pressed=presses)
def test_no_tick_is_lost_and_there_and_back_is_as_before(trip, kit, owner, first, then, pressed):
    packing_list = make(trip, kit, owner.user, first)
    press(packing_list, pressed, owner.user)
    ticks = ("packed_at", "packed_by_id", "packed_amount", "loaded_at", "home_at")
    before = {
        line.name: [getattr(line, name) for name in ticks] for line in packing_list.lines.all()
    }
    amounts = dict(packing_list.lines.values_list("name", "amount"))
    remake(packing_list, owner.user, then)
    kept = {line.name: [getattr(line, name) for name in ticks] for line in packing_list.lines.all()}
    for name, was in before.items():
        if any(was):
            assert kept[name] == was
    remake(packing_list, owner.user, first)
    assert dict(packing_list.lines.values_list("name", "amount")) == amounts
    assert not packing_list.lines.filter(gone=True).exists()


@again
@given(first=given_numbers, then=given_numbers, amount=st.decimals(0, 99, places=2))
def test_an_amount_by_hand_outlives_all_numbers(trip, kit, owner, first, then, amount):
    first = first | {"cooks": 2, "conditions": [Condition.CHARCOAL.value]}
    packing_list = make(trip, kit, owner.user, first)
    line = packing_list.lines.get(name="Tongs")
    line.amount = Decimal(amount)
    actions.change_line(line=line, seen=line.version, by=owner.user)
    line.refresh_from_db()
    remake(packing_list, owner.user, then)
    after = PackingLine.objects.filter(pk=line.pk).first()
    if line.amount_own and amount:
        assert after
        assert after.amount == amount
        assert after.gone == (then["cooks"] == 0)
