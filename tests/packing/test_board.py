import re
from decimal import Decimal

import pytest
from django.utils import timezone
from hypothesis import given, settings
from hypothesis import strategies as st

from teamops.inventory.models import Container
from teamops.packing import actions
from teamops.packing.models import PackingLine
from teamops.packing.queries import board_news, packing_board
from teamops.packing.queries.board import Board
from teamops.packing.queries.rows import LineFacts
from teamops.packing.queries.sums import DONE
from teamops.packing.stages import Stage
from tests.factories.packing import PackingLineFactory, PackingListFactory
from tests.factories.teams import UserFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def cook_user():
    return UserFactory(name="Ana Ortiz")


def rows(board: Board) -> dict[str, tuple[str, str, str]]:
    """Each row's press, state without who, and look."""
    who = re.compile(r" by \w+")
    return {
        row.name: (row.press, who.sub("", row.state), row.look)
        for box in board.boxes
        for row in box.rows
    }


def tick(line: PackingLine, who, stage: Stage = Stage.PACK, *, on: bool = True) -> None:
    actions.set_stage(line=line, stage=stage, on=on, by=who)


@pytest.mark.parametrize("length", [1, 40])
def test_board_takes_four_queries_however_long(length, django_assert_num_queries):
    packing_list = PackingListFactory(lines=length - 1)
    PackingLineFactory(packing_list=packing_list, packed=True, have=1)
    with django_assert_num_queries(4):  # counts, lines, who ticked, what is being bought
        board = packing_board(packing_list, "us")
    assert sum(len(box.rows) for box in board.boxes) == length


@pytest.mark.parametrize("ticked", [1, 20])
def test_news_take_four_queries_however_many(ticked, cook_user, django_assert_num_queries):
    packing_list = PackingListFactory(lines=40)
    for line in packing_list.lines.all()[:ticked]:
        tick(line, cook_user)
    packing_list.lines.update(have=1)
    packing_list.refresh_from_db()
    with django_assert_num_queries(4):  # lines, counts, who ticked, what is being bought
        news = board_news(packing_list, "us", Stage.PACK, since=0)
    assert len(news.rows) == ticked
    assert news.count == f"{ticked} of 40 packed"


@given(
    amount=st.integers(0, 3),
    packed=st.none() | st.integers(0, 3),
    loaded=st.booleans(),
    home=st.booleans(),
)
@settings(max_examples=30, deadline=None)
def test_done_is_the_same_in_sql_and_in_words(amount, packed, loaded, home):
    who, now = UserFactory(), timezone.now()
    ticks = {"packed_at": now, "packed_by": who} if packed is not None else {}
    ticks |= {"loaded_at": now, "loaded_by": who} if loaded else {}
    ticks |= {"home_at": now, "home_by": who} if home else {}
    line = PackingLineFactory(amount=amount, packed_amount=packed, **ticks)
    facts = LineFacts(*PackingLine.objects.values_list(*LineFacts._fields).get(pk=line.pk))
    for stage, done in DONE.items():
        said = PackingLine.objects.filter(done, pk=line.pk).exists()
        assert facts.is_done(stage) == said


def test_states_in_words(cook_user):
    packing_list = PackingListFactory()
    for name in ("Open", "Packed", "Part", "Short", "None", "Short packed", "Too many"):
        PackingLineFactory(packing_list=packing_list, name=name)
    lines = {line.name: line for line in packing_list.lines.all()}
    for name in ("Packed", "Part", "Too many"):
        tick(lines[name], cook_user)
    PackingLine.objects.filter(name="Part").update(amount=6)
    PackingLine.objects.filter(name="Too many").update(amount=1)
    for name, have in (("Short", 3), ("None", 0), ("Short packed", 1)):
        actions.set_have(line=lines[name], have=Decimal(have), by=cook_user)
    tick(lines["Short packed"], cook_user)
    packing_list.shopping.filter(name="Short").delete()
    board = packing_board(packing_list, "us", Stage.PACK)
    assert rows(board) == {
        "Open": ("pack", "to pack", "open"),
        "Packed": ("unpack", "packed", "done"),
        "Part": ("pack", "4 packed, 2 more to pack", "part"),
        "Short": ("pack", "1 short", "short"),
        "None": ("", "none here: 4 short, on the shopping list", "short"),
        "Short packed": ("unpack", "1 packed, 3 short, on the shopping list", "short"),
        "Too many": ("unpack", "packed, 3 too many", "done"),
    }
    assert board.count == "2 of 7 packed"


def test_who_and_when_are_told(cook_user):
    line = PackingLineFactory(note="borrowed from Sam")
    tick(line, cook_user)
    row = packing_board(line.packing_list, "us", Stage.PACK).boxes[0].rows[0]
    assert row.state == "packed by Ana"
    assert row.how == "Added by hand. · 4.4 lb · borrowed from Sam"


def test_the_stage_at_hand_is_the_first_with_something_left(cook_user):
    packing_list = PackingListFactory(lines=2)
    one, other = packing_list.lines.all()
    assert packing_board(packing_list, "us").stage is Stage.PACK
    tick(one, cook_user)
    tick(other, cook_user)
    assert packing_board(packing_list, "us").stage is Stage.LOAD
    tick(one, cook_user, Stage.LOAD)
    tick(other, cook_user, Stage.LOAD)
    board = packing_board(packing_list, "us")
    assert (board.stage, board.count) == (Stage.HOME, "0 of 2 home again")


def test_what_gets_used_up_does_not_come_home():
    packing_list = PackingListFactory(lines=1)
    PackingLineFactory(packing_list=packing_list, name="Charcoal", consumable=True)
    board = packing_board(packing_list, "us", Stage.HOME)
    assert "Charcoal" not in rows(board)
    assert board.count == "0 of 1 home again"


def test_only_what_is_left_keeps_the_counts(cook_user):
    packing_list = PackingListFactory(lines=3)
    tick(packing_list.lines.first(), cook_user)
    board = packing_board(packing_list, "us", Stage.PACK, only_left=True)
    assert len(rows(board)) == 2
    assert (board.count, board.boxes[0].count) == ("1 of 3 packed", "1 of 3")


def test_weights_by_container_and_in_all():
    """4 x 0.5 kg + 2 x 0.25 kg = 2.5 kg = 5.5 lb; with 4 x 5 kg elsewhere 22.5 kg = 49.6 lb."""
    packing_list = PackingListFactory(lines=1)
    PackingLineFactory(packing_list=packing_list, amount=2, mass_kg=Decimal("0.25"))
    PackingLineFactory(packing_list=packing_list, mass_kg=5, container="Water", position=5)
    PackingLineFactory(packing_list=packing_list, mass_kg=50, gone=True, packed=True)
    board = packing_board(packing_list, "us", Stage.PACK)
    assert [(box.name, box.mass) for box in board.boxes] == [
        ("Grill tote", "5.5 lb"),
        ("Water", "44.1 lb"),
    ]
    assert board.mass == "49.6 lb"
    assert packing_board(packing_list, "si", Stage.PACK).mass == "22.5 kg"


def test_a_gone_line_is_marked_and_not_counted(cook_user):
    packing_list = PackingListFactory(lines=1)
    PackingLineFactory(packing_list=packing_list, name="Old", gone=True, packed=True)
    board = packing_board(packing_list, "us", Stage.PACK)
    assert rows(board)["Old"] == ("unpack", "packed, but not needed any more", "gone")
    assert board.count == "0 of 1 packed"
    tick(packing_list.lines.get(name="Old"), cook_user, on=False)
    assert rows(packing_board(packing_list, "us", Stage.PACK))["Old"][0] == ""


def test_left_out_lines_stand_apart():
    packing_list = PackingListFactory(lines=1)
    PackingLineFactory(packing_list=packing_list, name="Rope", amount=0)
    board = packing_board(packing_list, "us")
    assert "Rope" not in rows(board)
    assert [row.name for row in board.left_out] == ["Rope"]


def test_news_tell_only_what_is_new(cook_user):
    packing_list = PackingListFactory(lines=3)
    first, second, _ = packing_list.lines.all()
    tick(first, cook_user)
    tick(second, cook_user)
    packing_list.refresh_from_db()
    news = board_news(packing_list, "us", Stage.PACK, since=1)
    assert [row.key for row in news.rows] == [str(second.pk)]
    assert (news.since, news.reshaped, news.count) == (2, False, "2 of 3 packed")
    assert [count for _, count in news.boxes] == ["2 of 3"]
    again = board_news(packing_list, "us", Stage.PACK, since=2)
    assert (again.rows, again.reshaped) == ((), False)


def test_news_of_another_shape_ask_for_the_page(cook_user):
    packing_list = PackingListFactory(lines=1)
    line = PackingLine(packing_list=packing_list, name="Hat", amount=1)
    actions.add_line(line=line, by=cook_user)
    assert board_news(packing_list, "us", Stage.PACK, since=0).reshaped
    actions.leave_out(line=line, by=cook_user)
    assert board_news(packing_list, "us", Stage.PACK, since=1).reshaped


@pytest.mark.outside("common practice, no source: two people above 50 lb, wheels above 80 lb")
def test_lifting_cautions_on_both_sides_of_the_limits():
    packing_list = PackingListFactory()
    heavy = (("A", "22.6"), ("B", "22.7"), ("C", "36.2"), ("D", "36.3"))
    for place, (name, mass) in enumerate(heavy):
        PackingLineFactory(
            packing_list=packing_list, container=name, amount=1, mass_kg=Decimal(mass),
            position=place,
        )  # fmt: skip
    assert packing_board(packing_list, "us").cautions == (
        "Over 50 lb, so lift with two or split: B, 50 lb; C, 79.8 lb.",
        "Over 80 lb, so use wheels or unpack it: D, 80 lb.",
    )


def test_loose_things_are_lifted_one_by_one():
    """Twenty jugs on the floor are no lift of 160 lb; a grill of 62 lb is one for two."""
    packing_list = PackingListFactory()
    for name, unit, amount, mass in (
        ("Water", "gal", 20, "3.78"), ("Ballast", "lb", 160, "0.45"), ("Grill", "each", 1, "28.1"),
    ):  # fmt: skip
        PackingLineFactory(
            packing_list=packing_list, name=name, unit=unit, amount=amount, mass_kg=Decimal(mass),
            container="Floor", container_whole=False,
        )  # fmt: skip
    (caution,) = packing_board(packing_list, "si").cautions
    assert caution == "Over 22.7 kg, so lift with two or split: Grill, 28.1 kg."


def test_what_rides_apart_is_said():
    packing_list = PackingListFactory()
    kinds = (Container.Kind.RAW, Container.Kind.CHEMICAL, Container.Kind.FUEL)
    for place, kind in enumerate(kinds):
        PackingLineFactory(
            packing_list=packing_list, container=kind.label, container_kind=kind, position=place
        )
    board = packing_board(packing_list, "us")
    assert [box.apart for box in board.boxes] == [
        "raw food only", "chemicals only", "fuel and gas only",
    ]  # fmt: skip
    raw, chemical, fuel = board.cautions
    assert "41 °F" in raw
    assert "apart from food" in chemical
    assert "carbon monoxide" in fuel
