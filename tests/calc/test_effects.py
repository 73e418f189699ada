"""Whether a change mattered: check sets, published tests, and what the verdicts promise."""

import warnings
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import nct, t, ttest_ind
from statsmodels.stats.multitest import multipletests
from statsmodels.stats.power import TTestIndPower

from teamops.calc.effects import (
    Verdict,
    change_effect,
    change_of_numbers,
    companions,
    companions_sentence,
    confounded,
    confounded_sentence,
    contests_needed,
    corrected_sentence,
    crowded_sentences,
    effect_of_averages,
    effect_sentence,
    first_needed_sentence,
    guess_sentence,
    guessed_gain,
    leaning_sentence,
    luck_bound,
    luck_sentence,
    lucky_sentence,
    needed_sentence,
    on_off_plan,
    still_needed,
    switched_once,
    switched_sentence,
    verdict_words,
)
from teamops.calc.effects.intervals import holm, satterthwaite
from teamops.calc.scoring import Criterion
from tests.calc.test_ledger import contests, expected
from tests.calc.worked import read

KEYS = ("k1", "k2", "k3", "k4", "k5")
HALVES = [
    Criterion(key, key.upper(), Decimal(1), Decimal(1), Decimal(10), Decimal("0.5")) for key in KEYS
]
SETS = ("balanced_5", "boundary_5", "unequal_12")


def changed(dataset):
    """Which contests of a check set had the change."""
    rows = [row for row in read("scoring-marks-data.csv") if row["dataset"] == dataset]
    return [on == "1" for on in {row["event"]: row["changed"] for row in rows}.values()]


def check_set(dataset, criteria=HALVES):
    return change_effect(contests(dataset), changed(dataset), criteria)


def season(rng, pattern, gain=0.0, *, sd=0.5, judges=(5,), criteria=5):
    """Invented half marks: day, day by criterion, judge, rest; `gain` where the change was on."""
    tables = []
    for on in pattern:
        marks = 7.5 + rng.normal(0, sd) + rng.normal(0, 0.3, criteria) + np.asarray(gain) * on
        n = int(rng.choice(judges))
        marks = marks + rng.normal(0, 0.4, (n, 1)) + rng.normal(0, 0.7, (n, criteria))
        tables.append(np.clip(np.round(marks * 2) / 2, 1, 10))
    return tables


# The check sets


CONTEST_MEAN = {
    "events before": lambda found: found.without,
    "events after": lambda found: found.with_it,
    "event-mean overall change": lambda found: found.overall.change,
    "event-mean overall se": lambda found: found.overall.error,
    "event-mean overall df": lambda found: found.overall.df,
    "event-mean criterion se": lambda found: found.lines[0].error,
    "event-mean criterion df": lambda found: found.lines[4].df,
    "half width 95%": lambda found: found.lines[1].span_95.half,
    "half width 80%": lambda found: found.lines[2].span_80.half,
    "keep factor for the overall change": lambda found: found.keep_level,
    "keep factor for criterion deviations": lambda found: found.keep_profile,
}


@pytest.mark.outside(
    "computed: scoring-marks-expected.csv, event-mean rows; balanced_5 equals Kenward-Roger "
    "intervals from R's pbkrtest"
)
@pytest.mark.parametrize("dataset", SETS)
def test_changes_match_the_check_sets(dataset):
    found = check_set(dataset)
    for quantity, read_off in CONTEST_MEAN.items():
        (number,), tolerance = expected(dataset, quantity)
        assert read_off(found) == pytest.approx(number, abs=tolerance), quantity
    for line in found.lines:
        (number,), tolerance = expected(dataset, f"event-mean change {line.key}")
        assert line.change == pytest.approx(number, abs=tolerance)
        (number,), tolerance = expected(dataset, f"best guess of change {line.key}")
        assert line.guess == pytest.approx(number, abs=tolerance)
        assert line.with_it - line.without == pytest.approx(line.change)


@pytest.mark.outside("published: Welch's t on Student's sleep data, as printed by R's t.test")
def test_satterthwaite_gives_welchs_degrees_of_freedom():
    sides = [
        np.array([float(row["value"]) for row in read("scoring-tests-data.csv")
                  if (row["dataset"], row["group"]) == ("sleep", group)])
        for group in "12"
    ]  # fmt: skip
    said = {row["quantity"]: row for row in read("scoring-tests-expected.csv")
            if row["dataset"] == "sleep"}  # fmt: skip
    parts = [(side.var(ddof=1) / len(side), len(side) - 1) for side in sides]
    df, error = satterthwaite(*parts), np.sqrt(sum(variance for variance, _ in parts))
    change = sides[0].mean() - sides[1].mean()
    low, high = t.interval(0.95, df, change, error)
    numbers = {
        "Welch df": df,
        "Welch t": change / error,
        "two-sided p": 2 * t.sf(abs(change) / error, df),
        "95% low": low,
        "95% high": high,
    }
    assert numbers.keys() == said.keys()
    for quantity, number in numbers.items():
        row = said[quantity]
        assert number == pytest.approx(float(row["value"]), abs=float(row["tolerance"]))


@pytest.mark.outside("computed: SciPy's pooled t test, statsmodels' Holm correction")
def test_one_number_a_contest_is_a_pooled_t_test():
    values, on = [3.0, 1.5, 2.5, 4.0, 5.5, 4.5, 6.0], [False, False, False, True, True, True, True]
    found = change_of_numbers(values, on)
    outside = ttest_ind(values[3:], values[:3])
    assert found.p == pytest.approx(outside.pvalue, rel=1e-10)
    interval = outside.confidence_interval(0.8)
    assert (found.span_80.low, found.span_80.high) == pytest.approx((interval.low, interval.high))
    assert found.guess is None
    assert 0 < change_of_numbers(values, on, prior_sd=1.0).guess < found.change
    chances = [0.03, 0.001, 0.2, 0.012, 0.9]
    assert holm(chances) == pytest.approx(multipletests(chances, method="holm")[1])


@pytest.mark.outside("computed: a single criterion is SciPy's pooled t test of contest averages")
def test_a_single_criterion_has_one_layer():
    tables = [table[:, :1] for table in contests("unequal_12")]
    found = change_effect(tables, changed("unequal_12"), HALVES[:1])
    means = [table.mean() for table in tables]
    outside = ttest_ind(means[6:], means[:6])
    assert found.overall.p == found.lines[0].p == pytest.approx(outside.pvalue)
    assert found.lines[0].guess == pytest.approx(found.overall.guess)


def averages_of(tables):
    """What is stored of tables: averages and the number of sheets."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # a column without a mark has no average
        means = [
            np.nanmean(table, axis=0) if len(table) else np.full(5, np.nan) for table in tables
        ]
    return means, [max(len(table), 1) for table in tables]


@pytest.mark.parametrize("dataset", SETS)
def test_averages_say_the_same_as_the_sheets(dataset):
    """Two boxes of a contest are one table, whether their sheets or their averages are put
    together; a blank and a criterion without marks are treated alike."""
    tables, on = contests(dataset), changed(dataset)
    tables[0] = np.concatenate([tables[0], tables[0][:3] - 1])
    tables[1][0, 2] = np.nan
    for blank in (False, True):
        if blank:
            tables[-1][:, 4] = np.nan
        at_top = [np.mean(np.concatenate(tables)[:, n] == 10) for n in range(5)]
        stored = effect_of_averages(*averages_of(tables), on, HALVES, at_top)
        assert stored == change_effect(tables, on, HALVES)


@given(st.integers(0, 10_000), st.integers(4, 12))
@settings(max_examples=25, deadline=None)
def test_averages_say_the_same_of_any_season(start, many):
    rng = np.random.default_rng(start)
    pattern = [bool(n % 2) for n in range(many)]
    tables = season(rng, pattern, 0.4, judges=(3, 5, 6))
    raw, stored = (
        change_effect(tables, pattern, HALVES),
        effect_of_averages(*averages_of(tables), pattern, HALVES),
    )
    for one, other in zip((raw.overall, *raw.lines), (stored.overall, *stored.lines), strict=True):
        assert (one.change, one.error, one.df, one.guess) == pytest.approx(
            (other.change, other.error, other.df, other.guess), rel=1e-9, abs=1e-12
        )


def test_averages_that_cannot_be_compared_are_refused():
    means, sheets = averages_of(contests("balanced_5"))
    with pytest.raises(ValueError, match="say with or without"):
        effect_of_averages(means, sheets, [True], HALVES)
    with pytest.raises(ValueError, match="sheet"):
        effect_of_averages(means, [0, *sheets[1:]], changed("balanced_5"), HALVES)
    assert effect_of_averages([], [], [], HALVES).overall.verdict is Verdict.NO_COMPARISON


# How luck plays in


@pytest.mark.outside("computed: own example tiny_3v2 by listing all relabellings")
def test_luck_bound_is_the_smallest_chance_of_order_alone():
    rows = [row for row in read("scoring-tests-data.csv") if row["dataset"] == "tiny_3v2"]
    values = [float(row["value"]) for row in rows]
    after = sum(values[3:])
    as_large = [sum(two) >= after - 1e-9 for two in combinations(values, 2)]
    assert sum(as_large) == 1
    assert luck_bound(3, 2) == Fraction(sum(as_large), len(as_large)) == Fraction(1, 10)
    sides = [(1, 2), (2, 2), (2, 3), (3, 3), (3, 4), (4, 4)]
    assert [1 / luck_bound(*side) for side in sides] == [3, 6, 10, 20, 35, 70]
    said = {row["quantity"]: row for row in read("scoring-tests-expected.csv")
            if row["dataset"] == "tiny_3v2"}  # fmt: skip
    found = change_of_numbers(values, [False] * 3 + [True] * 2)
    wanted = said["difference of means"]
    assert found.change == pytest.approx(float(wanted["value"]), abs=float(wanted["tolerance"]))
    assert Fraction(said["smallest possible p"]["value"]) == luck_bound(3, 2)


def test_few_contests_lean_at_most():
    """Two against two, a mark apart and hardly any swing: still no verdict above leaning."""
    rng = np.random.default_rng(5)
    for pattern, verdict in (
        ([0, 1, 0, 1], Verdict.LEANING),
        ([0, 1, 0, 1, 1], Verdict.LEANING),
        ([0, 1, 0, 1, 0, 1], Verdict.CLEAR),
    ):
        found = change_effect(season(rng, pattern, 1.5, sd=0.05, judges=(12,)), pattern, HALVES)
        assert found.overall.verdict is verdict
        assert bool(luck_sentence(found)) is (verdict is Verdict.LEANING)


@pytest.mark.parametrize("pattern", [[], [0], [1, 1], [0, 1], [0, 1, 1, 1], [0, 0, 0, 0]])
def test_one_contest_on_a_side_is_no_comparison(pattern):
    found = change_effect(season(np.random.default_rng(1), pattern), pattern, HALVES)
    assert (found.without, found.with_it) == (pattern.count(0), pattern.count(1))
    for effect in (found.overall, *found.lines):
        assert effect.verdict is Verdict.NO_COMPARISON
        assert effect.change is effect.span_95 is effect.guess is None
        assert (effect.without is None) is (0 not in pattern)
        assert effect_sentence(effect, found).startswith("No comparison yet: ")


def test_marks_that_agree_to_the_digit_are_not_surer_than_their_steps():
    """Whole marks hide a swing of up to half a mark, so a range of nothing would be a lie."""
    whole = [replace(c, step=Decimal(1)) for c in HALVES]
    tables = [np.full((3, 5), 8.0 + on) for on in (0, 0, 0, 1, 1, 1)]
    found = change_effect(tables, [0, 0, 0, 1, 1, 1], whole)
    assert found.overall.swing == pytest.approx(np.sqrt(1 / 12 / 15))
    assert found.overall.verdict is Verdict.CLEAR
    assert found.lines[0].swing == pytest.approx(np.sqrt(1 / 12 / 3))


@pytest.mark.slow
@pytest.mark.outside(
    "computed: simulated coverage, as in the method's own trials (0.943 and 0.791)"
)
@pytest.mark.parametrize("judges", [(5,), (3, 4, 5, 6)])
def test_intervals_cover_as_often_as_they_say(judges):
    """Three before and two after, no true change: 400 seasons, five criteria each."""
    rng, pattern = np.random.default_rng(2026), [0, 0, 0, 1, 1]
    seasons = [season(rng, pattern, judges=judges) for _ in range(400)]
    found = [change_effect(tables, pattern, HALVES) for tables in seasons]
    for name, low, high in (("span_95", 0.92, 0.97), ("span_80", 0.75, 0.84)):
        spans = [getattr(line, name) for one in found for line in one.lines]
        covered = np.mean([span.low <= 0 <= span.high for span in spans])
        assert low < covered < high, name


@pytest.mark.slow
def test_clear_is_rare_when_nothing_changed_and_usual_when_much_did():
    rng, pattern = np.random.default_rng(7), [0, 1] * 5
    nothing = [change_effect(season(rng, pattern), pattern, HALVES) for _ in range(200)]
    called = [any(x.verdict is Verdict.CLEAR for x in one.lines) for one in nothing]
    assert np.mean(called) < 0.09
    much = [
        change_effect(season(rng, pattern, [0, 1.8, 0, 0, 0]), pattern, HALVES) for _ in range(100)
    ]
    assert np.mean([one.line("k2").verdict is Verdict.CLEAR for one in much]) > 0.8


# What must hold of any season


tables = st.integers(0, 10_000).map(np.random.default_rng)
patterns = st.lists(st.booleans(), min_size=5, max_size=12).filter(
    lambda p: 2 <= sum(p) < len(p) - 1
)


@given(tables, patterns)
@settings(max_examples=40, deadline=None)
def test_swapping_with_and_without_turns_the_sign(rng, pattern):
    marks = season(rng, pattern)
    there = change_effect(marks, pattern, HALVES)
    back = change_effect(marks, [not on for on in pattern], HALVES)
    for one, other in zip((there.overall, *there.lines), (back.overall, *back.lines), strict=True):
        assert one.change == pytest.approx(-other.change, abs=1e-12)
        assert one.span_80.low == pytest.approx(-other.span_80.high, abs=1e-12)
        assert one.guess == pytest.approx(-other.guess, abs=1e-12)
        assert one.verdict is other.verdict
    assert there.luck == back.luck


@given(tables, patterns)
@settings(max_examples=40, deadline=None)
def test_parts_add_up_and_guesses_are_drawn_in(rng, pattern):
    found = change_effect(season(rng, pattern, 0.5), pattern, HALVES)
    assert np.mean([x.change for x in found.lines]) == pytest.approx(found.overall.change)
    assert np.mean([x.guess for x in found.lines]) == pytest.approx(found.overall.guess)
    assert abs(found.overall.guess) <= abs(found.overall.change)
    for line in found.lines:
        assert line.span_95.half > line.span_80.half > 0
        assert line.p_holm >= line.p
        assert (line.p < 0.05) is not (line.span_95.low <= 0 <= line.span_95.high)


@given(tables, patterns, st.floats(1.5, 4))
@settings(max_examples=40, deadline=None)
def test_noise_widens_the_intervals(rng, pattern, more):
    values = rng.normal(0, 1, len(pattern))
    on = np.array(pattern)
    calm = values.copy()
    for side in (on, ~on):
        values[side] = calm[side].mean() + more * (calm[side] - calm[side].mean())
    one, other = change_of_numbers(calm, pattern), change_of_numbers(values, pattern)
    assert other.change == pytest.approx(one.change)
    assert other.span_80.half == pytest.approx(more * one.span_80.half)


def test_other_scales_are_compared_by_their_width():
    """The same sheets on 0 to 90, and on scales that differ."""
    marks, on = contests("unequal_12"), changed("unequal_12")
    wide = [replace(c, least=Decimal(0), most=Decimal(90), step=Decimal(5)) for c in HALVES]
    plain, tenfold = check_set("unequal_12"), change_effect([(m - 1) * 10 for m in marks], on, wide)
    assert [x.change * 10 for x in plain.lines] == pytest.approx([x.change for x in tenfold.lines])
    assert [x.guess * 10 for x in plain.lines] == pytest.approx([x.guess for x in tenfold.lines])
    mixed_scales = [wide[0], *HALVES[1:]]
    mixed = change_effect(
        [np.column_stack([(m[:, 0] - 1) * 10, m[:, 1:]]) for m in marks], on, mixed_scales
    )
    assert not mixed.alike
    assert mixed.line("k1").change == pytest.approx(10 * plain.line("k1").change)
    assert mixed.overall.change * 9 == pytest.approx(plain.overall.change)
    assert effect_sentence(mixed.overall, mixed, "the whole box").startswith(
        "The whole box is unchanged; swings from contest to contest alone give ±7 %"
    )


def test_blanks_and_contests_without_a_criterion():
    marks, on = contests("unequal_12"), changed("unequal_12")
    marks[0][0, 2] = np.nan
    found = change_effect(marks, on, HALVES)
    assert (found.without, found.left_out) == (6, 0)
    marks[0][:, 2] = np.nan
    marks.append(np.empty((0, 5)))
    found = change_effect(marks, [*on, True], HALVES)
    assert (found.without, found.with_it, found.left_out) == (5, 6, 2)


def test_what_cannot_be_compared_is_refused():
    marks, on = contests("balanced_5"), changed("balanced_5")
    with pytest.raises(ValueError, match="say with or without"):
        change_effect(marks, on[1:], HALVES)
    with pytest.raises(ValueError, match="columns"):
        change_effect([m[:, :4] for m in marks], on, HALVES)
    with pytest.raises(ValueError, match="least"):
        change_effect(marks, on, [replace(HALVES[0], most=None), *HALVES[1:]])
    with pytest.raises(ValueError, match="criterion"):
        change_effect([], [], [])
    with pytest.raises(ValueError, match="finite"):
        change_of_numbers([1.0, np.nan], [True, False])


def test_a_crowded_scale_is_said():
    marks = [np.column_stack([np.full(5, 10.0), np.full((5, 4), 8.0)]) for _ in range(4)]
    marks[0][:3, 0] = 9.5
    found = change_effect(marks, [0, 1, 0, 1], HALVES)
    assert found.crowded == ("k1",)
    (said,) = crowded_sentences(found, {"k1": "Looks"})
    assert said == (
        "More than 4 in 10 marks for looks are at the top: the scale has hardly any room left to "
        "show an improvement."
    )


# What to do next


@pytest.mark.outside("computed: power of the two-sided t test, statsmodels' TTestIndPower")
def test_contests_needed():
    assert [contests_needed(gain, s) for s in (0.5, 0.3, 0.7) for gain in (0.5, 1.0)] == [
        17, 6, 7, 3, 32, 9,
    ]  # fmt: skip
    for gain, swing in ((0.5, 0.5), (1.0, 0.7), (0.8, 0.6)):
        n = contests_needed(gain, swing)
        powers = [
            TTestIndPower().power(gain / swing, nobs1=n - less, alpha=0.05) for less in (0, 1)
        ]
        assert powers[0] >= 0.8 > powers[1]
    assert contests_needed(0.01, 1) is None
    with pytest.raises(ValueError, match="swing"):
        contests_needed(0.5, 0)


@pytest.mark.outside("computed: SciPy's noncentral t at unequal sides")
def test_still_needed_goes_to_the_side_with_fewer():
    assert still_needed(0.5, 0.5, 3, 2) == (14, 15)
    off, on = still_needed(0.5, 0.5, 20, 5)
    assert off == 0
    shifts = [0.5 / 0.5 / np.sqrt(1 / 20 + 1 / n) for n in (5 + on, 4 + on)]
    chances = [
        nct.sf(t.ppf(0.975, 18 + n), 18 + n, shift)
        for n, shift in zip((5 + on, 4 + on), shifts, strict=True)
    ]
    assert chances[0] >= 0.8 > chances[1]
    assert still_needed(2.0, 0.3, 6, 6) == (0, 0)
    assert still_needed(0.001, 1, 3, 3) is None


@given(st.integers(0, 30), st.integers(0, 9), st.integers(0, 9), st.integers(0, 999))
@settings(max_examples=60, deadline=None)
def test_a_plan_is_balanced_two_by_two(number, without, with_it, start):
    plan = on_off_plan(number, without, with_it, np.random.default_rng(start))
    assert len(plan) == number
    for first, second in zip(plan[0:-1:2], plan[1::2], strict=False):
        assert first is not second
    assert plan == on_off_plan(number, without, with_it, np.random.default_rng(start))
    if number % 2 and without != with_it:
        assert plan[-1] is (with_it < without)


def test_changes_that_went_together_are_credited_to_neither():
    found = confounded(
        {
            "marinade": [0, 0, 1, 1, 1],
            "grate": [0, 0, 1, 1, 1],
            "old rub": [1, 1, 0, 0, 0],
            "timer": [0, 1, 1, 0, 1],
            "always": [1, 1, 1, 1, 1],
            "never": [0, 0, 0, 0, 0],
        }
    )
    assert found == {
        "marinade": ("grate", "old rub"),
        "grate": ("marinade", "old rub"),
        "old rub": ("marinade", "grate"),
    }
    assert confounded_sentence("the marinade", ["the grate"]) == (
        "The marinade and the grate changed at the same contests, so the scores cannot tell which "
        "did what: credited to neither."
    )
    assert confounded({}) == companions({}) == {}
    with pytest.raises(ValueError, match="same contests"):
        confounded({"a": [1], "b": [1, 0]})


def test_changes_that_mostly_went_together():
    """Correlations of 0.71, of -0.71, and of nothing."""
    patterns = {
        "marinade": [0, 0, 0, 1, 1, 1],
        "grate": [0, 0, 1, 1, 1, 1],
        "old rub": [1, 1, 0, 0, 0, 0],
        "timer": [0, 1, 0, 0, 1, 0],
        "always": [1, 1, 1, 1, 1, 1],
    }
    assert companions(patterns) == {
        "marinade": ("grate", "old rub"),
        "grate": ("marinade",),
        "old rub": ("marinade",),
    }
    assert companions_sentence("the marinade", ["the grate"]) == (
        "The grate changed at mostly the same contests as the marinade: a part of the difference "
        "may be due to it."
    )


@pytest.mark.outside("computed: NumPy's correlation of the same patterns")
@given(st.lists(st.tuples(st.booleans(), st.booleans()), min_size=3, max_size=20))
@settings(max_examples=50, deadline=None)
def test_companions_go_by_correlation(pairs):
    one, other = ([pair[side] for pair in pairs] for side in (0, 1))
    if len(set(one)) == len(set(other)) == 2:
        correlation = abs(float(np.corrcoef(one, other)[0, 1]))
        close = 0.5 - 1e-9 <= correlation < 1 - 1e-9
        assert bool(companions({"a": one, "b": other})) is close or abs(correlation - 0.5) < 1e-9
    else:
        assert companions({"a": one, "b": other}) == {}


def test_the_best_guess_in_points():
    found = check_set("balanced_5")
    weighty = [replace(c, weight=Decimal(n)) for n, c in enumerate(HALVES, start=1)]
    guesses = [line.guess for line in found.lines]
    by_hand = 4 * sum(n * guess for n, guess in enumerate(guesses, start=1))
    assert guessed_gain(found, weighty, 4) == pytest.approx(by_hand)
    few = change_effect(contests("balanced_5")[:1], [True], HALVES)
    assert guessed_gain(few, weighty, 4) is None
    with pytest.raises(KeyError):
        guessed_gain(found, [Criterion("smoke", "Smoke")], 4)


# In words


def test_sentences_of_the_check_set():
    found = check_set("balanced_5")
    said = {line.key: effect_sentence(line, found) for line in found.lines}
    assert said["k2"] == (
        "K2 is up 0.4; swings from contest to contest alone give ±1.0, so we cannot tell yet."
    )
    assert said["k3"] == (
        "K3 is up 0.8, and leaning that way (8 in 10 sure it is up 0.2 to 1.4). Where nothing "
        "has changed we would still lean one time in five."
    )
    assert guess_sentence(found.line("k3"), found) == (
        "Our best guess from five contests, drawn toward no change: up 0.4."
    )
    assert guess_sentence(found.line("k4"), found).endswith(": unchanged.")
    assert luck_sentence(found) == (
        "With three without and two with it, even a perfect split comes about by luck one time in "
        "ten."
    )


def test_a_clear_change_is_said_with_its_range():
    pattern = [0, 1] * 6
    found = change_effect(season(np.random.default_rng(3), pattern, -2.0), pattern, HALVES)
    assert effect_sentence(found.line("k1"), found, "taste").startswith("Taste is down ")
    assert ": clear, more than luck (8 in 10 sure it is down " in effect_sentence(
        found.line("k1"), found, "taste"
    )
    assert luck_sentence(found) == ""


def test_many_that_lean_are_taken_as_a_hint():
    assert leaning_sentence(check_set("balanced_5")) == (
        "Two of the five criteria lean. Of five that did not change, about one would lean by luck: "
        "take it as a hint."
    )
    assert leaning_sentence(check_set("unequal_12")) == (
        "One of the five criteria leans. Of five that did not change, about one would lean by "
        "luck: take it as a hint."
    )
    single = change_effect([m[:, :1] for m in contests("balanced_5")], [0, 0, 0, 1, 1], HALVES[:1])
    assert leaning_sentence(single) == ""


def test_a_criterion_that_only_holm_keeps_from_clear_is_explained():
    rng, pattern = np.random.default_rng(18), [0, 1] * 6
    for _ in range(60):
        found = change_effect(season(rng, pattern, [0, 0.5, 0, 0, 0], sd=0.2), pattern, HALVES)
        line = found.line("k2")
        if (line.p or 1) < 0.05 < (line.p_holm or 0):
            break
    assert (line.verdict, line.span_95.low > 0) == (Verdict.LEANING, True)
    assert corrected_sentence(found).startswith("By itself the 95 % range of k2 would be clear.")
    assert "five criteria were looked at" in corrected_sentence(found)
    assert corrected_sentence(check_set("balanced_5")) == ""  # nothing there is clear by itself


def test_of_many_changes_some_stand_out_by_luck():
    assert lucky_sentence(1) == ""
    assert lucky_sentence(2).startswith("Two changes are compared here. If none of them did")
    assert "stand out about four times in ten, by luck alone" in lucky_sentence(2)  # 1 - 0.8^2
    assert "about nine times in ten" in lucky_sentence(9)
    assert "about nine times in ten" in lucky_sentence(200)  # never for certain


@pytest.mark.slow
@pytest.mark.outside("computed: the bound of one in ten by simulation, 400 seasons of nothing")
def test_how_often_a_change_that_did_nothing_is_called_clear_or_leans():
    rng, pattern = np.random.default_rng(4), [0, 1] * 6
    words = [
        verdict_words(change_effect(season(rng, pattern, 0.0), pattern, HALVES)) for _ in range(400)
    ]
    clear = sum(word.startswith("clear") for word in words) / 400
    leaning = sum(word.startswith("leaning") for word in words) / 400
    assert 0.03 < clear < 0.10 + 0.03
    assert clear + leaning == pytest.approx(0.2, abs=0.07)


def test_a_range_from_hardly_anything_is_told_by_its_far_end():
    pattern = [0, 1] * 6
    rng = np.random.default_rng(7)
    for _ in range(200):
        found = change_effect(season(rng, pattern, 0.3), pattern, HALVES)
        span = found.overall.span_80
        if (
            found.overall.verdict is Verdict.LEANING
            and 0 < min(abs(span.low), abs(span.high)) < 0.05
        ):
            break
    far = max(abs(span.low), abs(span.high))
    assert f", by {far:.1f} at most)" in effect_sentence(found.overall, found, "the whole box")


@pytest.mark.parametrize(
    ("pattern", "words"),
    [
        ([0, 0, 1, 1], "Over these contests it came once and stayed, so season"),
        ([1, 1, 0], "Over these contests it went once and for all, so season"),
        ([0, 1, 0], ""),
        ([1, 1], ""),
        ([], ""),
    ],
)
def test_a_change_that_came_once_is_mixed_with_everything_else(pattern, words):
    assert switched_once(pattern) is bool(words)
    assert switched_sentence(pattern).startswith(words)
    assert bool(switched_sentence(pattern)) is bool(words)


def test_a_verdict_in_a_word_or_two():
    assert verdict_words(check_set("balanced_5")) == "can’t tell yet"
    rng, pattern = np.random.default_rng(5), [0, 1] * 5
    clear = change_effect(season(rng, pattern, 2.0, sd=0.2), pattern, HALVES)
    assert verdict_words(clear).startswith("clear: up ")
    one = change_effect(season(rng, pattern, [0, 2.5, 0, 0, -2.5], sd=0.8), pattern, HALVES)
    assert verdict_words(one).startswith("clear: k2 up ")
    few = change_effect(season(rng, [0, 0, 1, 1], 2.0, sd=0.1), [0, 0, 1, 1], HALVES)
    assert verdict_words(few) == "leaning up"
    assert verdict_words(change_effect([], [], HALVES)) == "no comparison yet"


@pytest.mark.parametrize(
    ("sides", "words"),
    [
        ((0, 0), "can be compared it takes two more with it and two more without it."),
        ((1, 4), "can be compared it takes one more without it."),
        ((5, 2), "can be called clear it takes one more with it."),
    ],
)
def test_what_a_comparison_takes_at_least(sides, words):
    assert first_needed_sentence(*sides) == f"Before anything {words}"
    assert first_needed_sentence(3, 3) == ""


@pytest.mark.parametrize(
    ("more", "rest"),
    [
        (None, "no number of contests that a team cooks would prove it."),
        ((0, 0), "there are contests enough: 8 times in 10 they would show it."),
        ((0, 1), "about 1 more contest would show it 8 times in 10: one with it."),
        (
            (2, 12),
            "about 14 more contests would show it 8 times in 10: 12 with it and two without.",
        ),
    ],
)
def test_how_far_it_still_is(more, rest):
    assert needed_sentence(more, 0.5) == f"If it is really worth 0.5 marks, {rest}"
    assert needed_sentence(more, 0.06, "%") == f"If it is really worth 6 % of the scale, {rest}"
