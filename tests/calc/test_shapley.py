"""Against a rival: published decompositions, and shares that add up to the last digit."""

from decimal import Decimal
from math import prod

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teamops.calc.rival import (
    Weighed,
    gap_sentence,
    rival_shares,
    shapley_shares,
    take_apart,
    weighed,
)
from teamops.calc.scoring import Criterion, DropScope, Rules, Sheet, exact_sum, score
from tests.calc.worked import example, read

KEYS = ("k1", "k2", "k3")


def rows(example_name):
    return [r for r in read("scoring-decomposition-expected.csv") if r["example"] == example_name]


def sheets(text, label="judge"):
    """Sheets written as "8 7 8 / 7 8 6"."""
    tables = [[Decimal(word) for word in part.split()] for part in text.split("/")]
    return [
        Sheet(f"{label} {n}", dict(zip(KEYS, marks, strict=True)))
        for n, marks in enumerate(tables, start=1)
    ]


DROP = Rules(
    criteria=tuple(Criterion(k, k, Decimal(1), Decimal(1), Decimal(10)) for k in KEYS),
    sheets_expected=3,
    drop_scope=DropScope.SHEET,
    drop_low=1,
)


@pytest.mark.outside(
    "published: Das Gupta 1993, examples 2.1 and 2.2, and a two-factor example, as reproduced by "
    "the DasGuptR documentation"
)
@pytest.mark.parametrize("name", ["two_factor_a", "two_factor_b", "three_factor"])
def test_products_of_rates(name):
    factors = {r["factor"]: (Decimal(r["value_1"]), Decimal(r["value_2"])) for r in rows(name)}

    def value(changed):
        return prod((pair[key in changed] for key, pair in factors.items()), start=Decimal(1))

    shares = shapley_shares(list(factors), value)
    for row in rows(name):
        expected, tolerance = float(row["expected_share"]), float(row["tolerance"])
        assert float(shares[row["factor"]]) == pytest.approx(expected, abs=tolerance)
    assert exact_sum(shares.values()) == value(set(factors)) - value(set())


@pytest.mark.outside("computed: own example, three sheets, the lowest dropped, by all six orders")
def test_a_drop_rule_is_shared_out():
    (row,) = rows("drop_lowest_shapley")
    ours, our_total = row["value_1"].removeprefix("sheets ").split(" total ")
    theirs, their_total = row["value_2"].removeprefix("sheets ").split(" total ")
    assert score(sheets(ours), DROP).total == Decimal(our_total)
    assert score(sheets(theirs), DROP).total == Decimal(their_total)
    shares = rival_shares(sheets(ours), sheets(theirs), DROP)
    expected = [Decimal(word) for word in row["expected_share"].split()]
    assert list(shares.values()) == expected


@pytest.mark.outside("computed: own example by Kitagawa's averages")
def test_other_marks_under_other_weights():
    marks, weights = rows("rules_and_marks")
    sides = [
        {
            key: Weighed(Decimal(w), Decimal(m))
            for key, w, m in zip(KEYS, *_weights_and_marks(marks[side]), strict=True)
        }
        for side in ("value_1", "value_2")
    ]
    parts = take_apart(*sides)
    assert [p.marks for p in parts] == [Decimal(x) for x in marks["expected_share"].split()]
    assert [p.weights for p in parts] == [Decimal(x) for x in weights["expected_share"].split()]
    assert exact_sum(p.both for p in parts) == Decimal("0.58")


def _weights_and_marks(text):
    weights, _, marks = text.removeprefix("weights ").partition(" marks ")
    return weights.split(), marks.split()


def test_a_criterion_of_one_rulebook_only_is_all_weight():
    one = {"taste": Weighed(Decimal(2), Decimal(8))}
    two = {"taste": Weighed(Decimal(2), Decimal(9)), "looks": Weighed(Decimal(1), Decimal(7))}
    parts = {part.key: part for part in take_apart(one, two)}
    assert (parts["taste"].marks, parts["taste"].weights) == (2, 0)
    assert (parts["looks"].marks, parts["looks"].weights) == (0, 7)
    back = {part.key: part.both for part in take_apart(two, one)}
    assert back == {key: -part.both for key, part in parts.items()}


def test_two_results_under_two_rulebooks():
    """2004 weights against those of 2013: weighted marks give the totals back."""
    old, new = example("bbq_2004_mixed"), example("bbq_2013_mixed")
    results = [score(case.sheets, case.rules) for case in (old, new)]
    parts = take_apart(*(weighed(r, c.rules) for r, c in zip(results, (old, new), strict=True)))
    moved = exact_sum(part.both for part in parts)
    assert abs(moved - (results[1].total - results[0].total)) < Decimal("1e-15")
    with pytest.raises(ValueError, match="sheet"):
        weighed(score([], DROP), DROP)


marks = st.integers(2, 20).map(lambda n: Decimal(n) / 2)
tables = st.lists(st.tuples(marks, marks, marks), min_size=3, max_size=3)


@given(tables, tables)
@settings(max_examples=40, deadline=None)
def test_shares_add_up_to_the_gap_exactly(one, other):
    ours, theirs = (
        [Sheet(f"judge {n}", dict(zip(KEYS, row, strict=True))) for n, row in enumerate(table)]
        for table in (one, other)
    )
    gap = score(theirs, DROP).total - score(ours, DROP).total
    shares = rival_shares(ours, theirs, DROP)
    assert exact_sum(shares.values()) == gap
    back = rival_shares(theirs, ours, DROP)
    assert all(abs(back[key] + share) < Decimal("1e-20") for key, share in shares.items())


def test_without_a_drop_rule_shares_are_plain_differences():
    rules = Rules(criteria=DROP.criteria, sheets_expected=2)
    shares = rival_shares(sheets("8 7 8 / 7 8 6"), sheets("9 7 5 / 9 8 8"), rules)
    assert shares == {"k1": 3, "k2": 0, "k3": -1}


def test_what_cannot_be_shared_out():
    with pytest.raises(ValueError, match="as many sheets"):
        rival_shares(sheets("8 7 8"), sheets("8 7 8 / 8 8 8"), DROP)
    assert rival_shares([], [], DROP) is None
    for keys in ([], [f"k{n}" for n in range(9)]):
        with pytest.raises(ValueError, match="1 to 8"):
            shapley_shares(keys, lambda some: Decimal(len(some)))
    nine = Rules(criteria=tuple(Criterion(f"k{n}", f"k{n}") for n in range(9)))
    with pytest.raises(ValueError, match="1 to 8"):
        rival_shares(sheets("8 7 8"), sheets("8 7 8"), nine)


def test_thirds_leave_their_last_digit_to_the_largest():
    shares = shapley_shares(["a", "b", "c"], lambda some: Decimal(len(some) == 3))
    assert exact_sum(shares.values()) == 1
    assert {round(share, 20) for share in shares.values()} == {round(Decimal(1) / 3, 20)}


def test_another_way_of_totalling_is_shared_out():
    """A contest that counts the first sheet twice: 1 + 1 in the first criterion."""
    rules = Rules(criteria=DROP.criteria, sheets_expected=2)
    shares = rival_shares(
        sheets("8 7 8 / 7 8 6"),
        sheets("9 7 8 / 7 8 6"),
        rules,
        total=lambda some: score([*some, some[0]], rules),
    )
    assert shares == {"k1": 2, "k2": 0, "k3": 0}


def test_the_gap_in_words():
    half = Decimal("0.5")
    assert gap_sentence("Ash", {"Looks": half, "Taste": Decimal(2), "Texture": Decimal(-1)}) == (
        "Ash was 1.5 points ahead: 2 in taste and 0.5 in looks; you were ahead by 1 in texture."
    )
    assert gap_sentence("Ash", {"Looks": Decimal(0), "Taste": Decimal(-1)}) == (
        "You were 1 point ahead: 1 in taste."
    )
    assert gap_sentence("Ash", {"Looks": Decimal(1), "Taste": Decimal(-1)}) == (
        "Ash and you are level: Ash was ahead by 1 in looks; you were ahead by 1 in taste."
    )
    assert gap_sentence("Ash", {"Looks": Decimal(0)}) == "Ash and you are level in everything."
