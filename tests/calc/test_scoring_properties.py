"""What must hold for any table of marks under any rulebook."""

from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from teamops.calc.scoring import (
    Aggregate,
    Contender,
    Criterion,
    DropScope,
    MissingSheet,
    RoundWhere,
    Rules,
    Sheet,
    exact_sum,
    rank,
    score,
)

# a machine that is busy with other things draws slowly
patient = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
KEYS = ("taste", "tenderness", "looks")
WEIGHTS = ("0.56", "2.2972", "1.1428", "1", "3")


@st.composite
def rulebooks(draw, aggregates=tuple(Aggregate)):
    criteria = tuple(
        Criterion(key, key, Decimal(draw(st.sampled_from(WEIGHTS))), Decimal(1), Decimal(10))
        for key in KEYS
    )
    return Rules(
        criteria=criteria,
        sheets_expected=draw(st.integers(1, 6)),
        missing_sheet=draw(st.sampled_from([MissingSheet.NONE, MissingSheet.AVERAGE_REMAINING])),
        drop_scope=draw(st.sampled_from(DropScope)),
        drop_low=draw(st.integers(0, 2)),
        drop_high=draw(st.integers(0, 1)),
        reject_outlier=draw(st.sampled_from([None, Decimal(4)])),
        aggregate=draw(st.sampled_from(aggregates)),
        factor=Decimal(draw(st.sampled_from(["1", "2.8"]))),
        rounding_places=draw(st.sampled_from([None, 1])),
        round_where=draw(st.sampled_from(RoundWhere)),
        tie_break=("sum:tenderness:kept", "sum:taste:kept", "dropped_total"),
    )


MARKS = st.integers(2, 20).map(lambda halves: Decimal(halves) / 2)


def tables(cells=MARKS, least=1):
    row = st.fixed_dictionaries(dict.fromkeys(KEYS, cells))
    return st.lists(row, min_size=least, max_size=8).map(
        lambda rows: [Sheet(f"judge {n}", marks) for n, marks in enumerate(rows, start=1)]
    )


@patient
@given(rulebooks(aggregates=(Aggregate.SUM, Aggregate.MEAN)), tables())
def test_losses_add_up_to_what_is_missing_from_the_most(rules, sheets):
    result = score(sheets, rules)
    lost = exact_sum([*result.losses.values(), result.lost_to_rounding])
    assert lost == result.lost == result.most - result.total
    for row in result.criteria:
        assert row.earned + row.lost == row.most
    if rules.round_where is RoundWhere.DISPLAY or rules.rounding_places is None:
        assert result.lost_to_rounding == 0


@patient
@given(rulebooks(), tables(), st.randoms())
def test_the_order_of_sheets_does_not_matter(rules, sheets, random):
    shuffled = random.sample(sheets, len(sheets))
    one, other = score(sheets, rules), score(shuffled, rules)
    assert (one.total, one.most, one.losses) == (other.total, other.most, other.losses)
    if rules.aggregate is not Aggregate.MEDIAN:  # a median's middle sheet may have an equal
        assert [row.kept_sum for row in one.criteria] == [row.kept_sum for row in other.criteria]


@patient
@given(rulebooks(), tables(st.none() | MARKS, least=0))
def test_any_paper_gives_a_total_or_says_why_not(rules, sheets):
    result = score(sheets, rules)
    assert (result.total is None) == bool(result.why_no_total)
    marked = [s for s in sheets if any(mark is not None for mark in s.marks.values())]
    assert (result.total is None) == (not marked)
    assert len([s for s in result.sheets if not s.filled]) == len(sheets)
    if marked and rules.drop_scope is not DropScope.CRITERION:
        assert any(sheet.counts for sheet in result.sheets)


@patient
@given(rulebooks(aggregates=(Aggregate.SUM, Aggregate.MEAN)), tables())
def test_a_total_lies_between_the_least_and_the_most(rules, sheets):
    result = score(sheets, replace(rules, rounding_places=None))
    assert result.most / 10 <= result.total <= result.most


@patient
@given(rulebooks(aggregates=(Aggregate.SUM, Aggregate.MEAN)), tables(), st.data())
def test_a_better_mark_never_lowers_the_total(rules, sheets, data):
    """Without outliers: there, a better mark may be thrown out."""
    rules = replace(rules, reject_outlier=None)
    index = data.draw(st.integers(0, len(sheets) - 1))
    key = data.draw(st.sampled_from(KEYS))
    raised = min(sheets[index].marks[key] + Decimal("0.5"), Decimal(10))
    better = replace(sheets[index], marks={**sheets[index].marks, key: raised})
    moved = [*sheets[:index], better, *sheets[index + 1 :]]
    assert score(moved, rules).total >= score(sheets, rules).total


@patient
@given(rulebooks(), st.lists(tables(), min_size=1, max_size=6))
def test_places_follow_the_totals(rules, boxes):
    results = [score(sheets, rules) for sheets in boxes]
    entries = [Contender(str(n), result.total, result) for n, result in enumerate(results)]
    places = rank(entries, rules)
    assert sorted(place.label for place in places) == sorted(entry.label for entry in entries)
    for ahead, behind in pairwise(places):
        assert ahead.total >= behind.total
        assert ahead.place <= behind.place
        if ahead.total == behind.total and ahead.place < behind.place:
            assert ahead.decided_by or behind.decided_by
    for number, place in enumerate(places, start=1):
        assert place.place <= number
        assert place.shared == (sum(1 for other in places if other.place == place.place) > 1)
