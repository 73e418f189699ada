"""Who is ahead: the published ties, and each step of the chain by itself."""

from dataclasses import replace
from decimal import Decimal

import pytest

from teamops.calc.scoring import (
    Contender,
    Criterion,
    EntryStatus,
    PlaceMethod,
    Rules,
    Sheet,
    describe_step,
    rank,
    score,
)
from tests.calc.worked import example, worked

RULES = Rules(
    criteria=tuple(
        Criterion(key, key.capitalize(), Decimal(1), Decimal(1), Decimal(10))
        for key in ("taste", "looks")
    ),
    sheets_expected=2,
)


def contenders(names, rules=None):
    found = [w for w in worked() if w.example == names]
    return [
        Contender(w.entry, score(w.sheets, w.rules).total, score(w.sheets, w.rules)) for w in found
    ]


def box(label, *rows, rules=RULES, **more):
    """A contender out of rows of (taste, looks)."""
    sheets = [
        Sheet(f"judge {n}", {"taste": Decimal(t), "looks": Decimal(k)}, head_judge=n == 1)
        for n, (t, k) in enumerate(rows, start=1)
    ]
    result = score(sheets, rules)
    return Contender(label, result.total, result, **more)


def chain(*steps, **more):
    return replace(RULES, tie_break=steps, **more)


def order(places):
    return [(place.label, place.place) for place in places]


@pytest.mark.outside("computed: 2004 weights, totals and taste sums equal, tenderness 45 v 40")
def test_tenderness_decides_where_totals_and_taste_are_equal():
    first, second = rank(contenders("bbq_2004_pair"), example("bbq_2004_pair").rules)
    assert order([first, second]) == [("B", 1), ("A", 2)]
    assert first.decided_by == second.decided_by == "sum:tenderness:kept"
    assert first.words == (
        "Level on 174.286 with A. "
        "Decided by Tenderness marks on the sheets that count: 45 against 40."
    )


@pytest.mark.outside("computed: 2013 weights, B first outright with 174.4")
def test_no_step_is_named_where_totals_differ():
    first, second = rank(contenders("bbq_2013_pair"), example("bbq_2013_pair").rules)
    assert order([first, second]) == [("B", 1), ("A", 2)]
    assert (first.decided_by, first.words, first.shared) == ("", "", False)


@pytest.mark.outside("liquidasset.com report 106: sums 12 16 12 10, printed placings 2= 4 2= 1")
def test_lowest_sum_wins_and_equal_sums_share():
    places = rank(contenders("rank_106"), example("rank_106").rules)
    assert order(places) == [("D", 1), ("A", 2), ("C", 2), ("B", 4)]
    assert [place.shared for place in places] == [False, True, True, False]
    assert places[1].words == "Level on 12 with C. The place is shared."


def test_places_may_be_numbered_densely():
    rules = replace(example("rank_106").rules, place_method=PlaceMethod.DENSE)
    assert order(rank(contenders("rank_106"), rules))[-1] == ("B", 3)


def test_a_penalty_on_the_dropped_sheet_leaves_the_dropped_total_to_decide():
    rules = example("bbq_2004_perfect").rules
    found = [
        Contender(name, score(w.sheets, w.rules).total, score(w.sheets, w.rules))
        for name in ("bbq_2004_one_penalty", "bbq_2004_perfect")
        for w in [example(name)]
    ]
    places = rank(found, rules)
    assert order(places) == [("bbq_2004_perfect", 1), ("bbq_2004_one_penalty", 2)]
    assert places[0].decided_by == "dropped_total"


@pytest.mark.parametrize(
    ("steps", "winner"),
    [
        (("sum:taste:kept",), "A"),
        (("sum:looks:all",), "B"),
        (("count_of:10",), "B"),
        (("count_of:10:all", "sum:taste:kept"), "B"),
        (("head_judge",), "A"),
        (("draw",), "B"),
    ],
)
def test_each_step_by_itself(steps, winner):
    a = box("A", (9, 9), (9, 7), drawn=2)
    b = box("B", (7, 10), (7, 10), drawn=1)
    places = rank([a, b], chain(*steps))
    assert places[0].label == winner
    assert places[0].decided_by == steps[0]


def test_shared_stops_the_chain():
    places = rank([box("A", (9, 9)), box("B", (8, 10))], chain("shared", "sum:taste:kept"))
    assert [place.place for place in places] == [1, 1]


def test_a_draw_not_yet_held_shares_the_place_and_says_so():
    places = rank([box("A", (9, 9), drawn=1), box("B", (9, 9))], chain("sum:taste:kept", "draw"))
    assert [place.place for place in places] == [1, 1]
    assert places[0].words == "Level on 18 with B. Not drawn yet for B. The place is shared."


def test_three_in_a_tie_may_part_at_different_steps():
    a, b, c = box("A", (9, 7), (8, 8)), box("B", (8, 8), (8, 8)), box("C", (8, 10), (8, 6))
    places = rank([b, c, a], chain("sum:taste:kept", "count_of:10"))
    assert order(places) == [("A", 1), ("C", 2), ("B", 3)]
    assert [place.decided_by for place in places] == [
        "sum:taste:kept",
        "count_of:10",
        "count_of:10",
    ]


def test_a_total_without_sheets_can_be_placed_but_not_untied():
    """A posted result of another team: no marks are known."""
    ours, theirs = box("ours", (9, 9)), Contender("theirs", Decimal(18))
    places = rank([ours, theirs, Contender("third", Decimal(17))], chain("sum:taste:kept"))
    assert order(places) == [("ours", 1), ("theirs", 1), ("third", 3)]
    assert "unknown for theirs" in places[0].words


def test_a_blank_cell_cannot_untie():
    blank = score([Sheet("judge 1", {"taste": Decimal(18)})], RULES)
    places = rank([box("A", (9, 9)), Contender("B", blank.total, blank)], chain("sum:taste:kept"))
    assert [place.shared for place in places] == [True, True]


def test_late_and_missing_entries():
    rows = [
        box("out", (10, 10), status=EntryStatus.OUT),
        box("late", (10, 10), status=EntryStatus.LAST),
        box("nothing", (10, 10), status=EntryStatus.ZERO),
        box("in time", (5, 5)),
        Contender("no sheets", None),
    ]
    places = rank(rows, RULES)
    assert order(places) == [
        ("in time", 1),
        ("nothing", 2),
        ("late", 3),
        ("out", None),
        ("no sheets", None),
    ]
    assert [place.words for place in places[3:]] == ["Out.", "No total."]


def test_no_entries_no_places():
    assert rank([], RULES) == []


def test_steps_in_words():
    steps = ("sum:taste:kept", "sum:looks:all", "count_of:10", "dropped_total", "head_judge")
    assert [describe_step(step, RULES) for step in (*steps, "draw", "shared")] == [
        "Taste marks on the sheets that count",
        "Looks marks on all sheets",
        "the number of 10s",
        "the sheets that do not count",
        "the head judge's sheet",
        "a draw",
        "nothing: the place is shared",
    ]
