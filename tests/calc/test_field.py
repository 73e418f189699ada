"""A field as posted: its order beside its totals, its ties, its corrections, its spread."""

from decimal import Decimal

import pytest

from teamops.calc.field import Entrant, compare, spread_words, stand
from teamops.calc.scoring import Criterion, Direction, DropScope, PlaceMethod, Rules, Sheet, score

TASTE, LOOK = Criterion("taste", "Taste"), Criterion("look", "Appearance")
RULES = Rules(
    criteria=(TASTE, LOOK),
    sheets_expected=2,
    tie_break=("sum:taste:kept", "sum:look:kept", "draw"),
)


def entrant(label: str, placing: int | None, total: str | None, **more) -> Entrant:
    return Entrant(label, placing, None if total is None else Decimal(total), **more)


def field(*rows: tuple[int | None, str | None]) -> list[Entrant]:
    return [entrant(f"Team {index}", *row) for index, row in enumerate(rows, 1)]


def flags(*rows, rules: Rules | None = None) -> list[tuple[str, ...]]:
    return [one.flags for one in stand(field(*rows), rules).stands]


def test_a_list_in_order_has_nothing_to_say():
    standing = stand(field((1, "190"), (2, "188"), (2, "188"), (4, "170")), None)
    assert [one.flags for one in standing.stands] == [(), (), (), ()]
    assert [(one.first, one.last) for one in standing.stands] == [(1, 1), (2, 3), (2, 3), (4, 4)]
    assert standing.says == ()


def test_a_place_that_its_total_does_not_give_is_flagged_line_by_line():
    assert flags((1, "190"), (2, "187"), (3, "188")) == [
        (),
        ("Posted 2nd, but 3rd by its total.",),
        ("Posted 3rd, but 2nd by its total.",),
    ]


def test_places_doubled_with_different_totals_and_places_left_out():
    standing = stand(field((1, "190"), (2, "188"), (2, "187"), (5, "170")), None)
    assert standing.stands[1].flags == ("2nd is posted twice, with different totals.",)
    assert "2nd is posted twice, with different totals." in standing.stands[2].flags
    assert standing.says == ("Nobody is posted 4th.",)


def test_shared_places_where_no_place_is_left_out_afterwards():
    dense = Rules(criteria=(TASTE,), place_method=PlaceMethod.DENSE)
    rows = ((1, "190"), (1, "190"), (2, "180"))
    assert flags(*rows, rules=dense) == [(), (), ()]
    assert stand(field(*rows), dense).says == ()
    assert flags(*rows, rules=None)[2] == ("Posted 2nd, but 3rd by its total.",)


def test_the_fewest_points_win_where_the_rulebook_says_so():
    low = Rules(criteria=(TASTE,), direction=Direction.LOW)
    assert flags((1, "10"), (2, "12"), (3, "16"), rules=low) == [(), (), ()]


def test_a_list_of_the_tail_goes_on_from_its_first_place():
    assert flags((11, "150"), (12, "149")) == [(), ()]


def test_disqualified_and_placed_is_said_and_not_ranked():
    rows = [
        entrant("A", 1, "190"),
        entrant("B", 2, "185", out="disqualified"),
        entrant("C", 2, "180"),
    ]
    found = stand(rows, None).stands
    assert found[1].flags == ("It is disqualified, and placed 2nd.",)
    assert found[1].first is None
    assert found[2].flags == ()


def test_a_tie_goes_down_the_steps_with_posted_sums():
    rows = [
        entrant("Ash", 1, "180", sums={"taste": Decimal(92), "look": Decimal(88)}),
        entrant("Oak", 2, "180", sums={"taste": Decimal(90), "look": Decimal(90)}),
        entrant("Pit", 3, "170", sums={"taste": Decimal(90), "look": Decimal(80)}),
    ]
    first, second, third = stand(rows, RULES).stands
    assert (first.first, first.last) == (1, 1)
    assert (second.first, second.last) == (2, 2)
    assert first.steps == (
        "Level on 180 with Oak.",
        "Decided by Taste marks on the sheets that count: 92 against 90.",
    )
    assert not second.flags
    assert not third.steps


def test_a_tie_posted_the_other_way_round_than_the_steps_is_flagged():
    rows = [
        entrant("Ash", 1, "180", sums={"taste": Decimal(90), "look": Decimal(90)}),
        entrant("Oak", 2, "180", sums={"taste": Decimal(92), "look": Decimal(88)}),
    ]
    assert [one.flags for one in stand(rows, RULES).stands] == [
        ("Posted 1st, but 2nd by the rulebook’s steps.",),
        ("Posted 2nd, but 1st by the rulebook’s steps.",),
    ]


def test_steps_that_leave_a_tie_level_are_shown_before_the_one_that_decides():
    rows = [
        entrant("Ash", 1, "180", sums={"taste": Decimal(90), "look": Decimal(91)}),
        entrant("Oak", 2, "180", sums={"taste": Decimal(90), "look": Decimal(90)}),
    ]
    assert stand(rows, RULES).stands[1].steps == (
        "Level on 180 with Ash.",
        "Taste marks on the sheets that count: 90 and 90, level.",
        "Decided by Appearance marks on the sheets that count: 90 against 91.",
    )


def test_level_on_every_step_it_waits_for_the_draw_or_is_shared():
    sums = {"taste": Decimal(90), "look": Decimal(90)}
    rows = [entrant("Ash", 1, "180", sums=sums), entrant("Oak", 1, "180", sums=sums)]
    assert stand(rows, RULES).stands[0].steps[-1] == "Not drawn yet for Ash and Oak."
    shared = Rules(criteria=(TASTE, LOOK), tie_break=("sum:taste:kept", "shared"))
    assert stand(rows, shared).stands[0].steps[-1] == "The place is shared."


def test_a_tie_without_marks_says_what_would_be_needed():
    first, _ = stand(field((1, "180"), (2, "180")), RULES).stands
    assert (first.first, first.last) == (1, 2)
    assert "Taste marks on the sheets that count unknown for Team 1 and Team 2." in first.steps[1]
    assert not first.flags


def test_sums_do_not_answer_a_step_about_all_sheets():
    rules = Rules(
        criteria=(TASTE, LOOK),
        drop_scope=DropScope.SHEET,
        drop_low=1,
        tie_break=("sum:taste:all", "draw"),
    )
    sums = {"taste": Decimal(90), "look": Decimal(90)}
    rows = [entrant("Ash", 1, "180", sums=sums), entrant("Oak", 2, "180", sums=sums)]
    steps = stand(rows, rules).stands[0].steps
    assert "Then it goes by Taste marks on all sheets, unknown for Ash and Oak." in steps


def test_our_own_sheets_and_anothers_sums_part_a_tie():
    ours = score(
        [Sheet("judge 1", {"taste": Decimal(9), "look": Decimal(8)}),
         Sheet("judge 2", {"taste": Decimal(9), "look": Decimal(9)})],
        RULES,
    )  # fmt: skip
    rows = [
        entrant("Ash", 1, "35", result=ours),
        entrant("Oak", 2, "35", sums={"taste": Decimal(17), "look": Decimal(18)}),
    ]
    assert "18 against 17" in stand(rows, RULES).stands[0].steps[1]


def test_a_draw_is_told_as_one():
    rows = [entrant("Ash", 1, "180", drawn=1), entrant("Oak", 2, "180", drawn=2)]
    by_draw = Rules(criteria=(TASTE,), tie_break=("draw",))
    first, second = stand(rows, by_draw).stands
    assert "Decided by a draw" in first.steps[1]
    assert (second.first, second.last) == (2, 2)


def test_many_level_entries_are_counted():
    found = stand(field(*[(1, "100")] * 300), RULES).stands
    assert found[0].steps == ("Level on 100 with 299 others.",)


def test_a_line_that_does_not_add_up_where_the_others_do():
    def row(label: str, total: str) -> Entrant:
        return entrant(label, None, total, parts=(Decimal(90), Decimal("89.5")))

    rows = [row("A", "179.5"), row("B", "179.5"), row("C", "181")]
    assert [one.flags for one in stand(rows, None).stands] == [
        (), (), ("Its columns add up to 179.5, posted 181.",),
    ]  # fmt: skip
    assert stand(rows[1:], None).stands[1].flags == (), "one that adds up proves nothing"


def test_a_later_list_says_who_moved_and_by_how_much():
    before = [entrant("Smoke Wagon", 1, "190", number="7"), entrant("Oak & Ash", 2, "188"),
              entrant("Pit Row", 3, "180"), entrant("Gone", 4, "170")]  # fmt: skip
    after = [entrant("Oak and Ash", 1, "191"), entrant("Smoke Wagon", 2, "190", number="9"),
             entrant("Pit Row", 3, "180.5"), entrant("New", 4, "160")]  # fmt: skip
    found = compare(before, after)
    assert [(line.label, line.words, line.up) for line in found.lines] == [
        ("Oak and Ash", "2nd → 1st, total 188 → 191", 1),
        ("Smoke Wagon", "1st → 2nd, number 7 → 9", -1),
        ("Pit Row", "total 180 → 180.5", 0),
        ("New", "new, 4th with 160", 0),
        ("Gone", "no longer on the list, was 4th with 170", 0),
    ]
    assert found.words == "Two places and one other line changed; one entry new; one entry gone."
    assert compare(after, after).words == "Nothing changed."


def test_two_entries_of_one_name_are_told_apart_by_number():
    before = [entrant("Oak", 1, "190", number="1"), entrant("Oak", 2, "180", number="2")]
    after = [entrant("Oak", 1, "190", number="2"), entrant("Oak", 2, "180", number="1")]
    assert [line.up for line in compare(before, after).lines] == [1, -1]


@pytest.mark.outside("computed: quartiles by NumPy's linear method, percentile 25 and 75")
def test_the_spread_of_a_field_in_one_line():
    totals = [Decimal(n) for n in (150, 160, 170, 171, 190)]
    assert spread_words(totals) == (
        "The median of five totals is 170; the middle half goes from 160 to 171, "
        "all from 150 to 190."
    )
    assert spread_words(totals[:2]) == "The median of two totals is 155; all from 150 to 160."
    assert spread_words([]) == ""
