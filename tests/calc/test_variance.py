"""Shares of the swing: certified and published analyses, and fits of other programs."""

import warnings
from dataclasses import astuple, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import check_grad

from teamops.calc.variance import (
    luck_share_sentence,
    sums_of_squares,
    swing_ranges,
    swing_shares,
)
from teamops.calc.variance.reml import Likelihood, components
from teamops.calc.variance.wording import whole_percents
from tests.calc.mixed import mixed_model
from tests.calc.test_effects import HALVES, SETS, changed
from tests.calc.test_ledger import contests, expected
from tests.calc.worked import read

COMPONENTS = {
    "REML variance residual": "rest",
    "REML variance judge in event": "judge",
    "REML variance event x criterion": "criterion",
    "REML variance event": "day",
}


def grouped(name, keys, value, *chosen):
    """Values of a file's rows, grouped by a column, in order."""
    groups: dict[str, list[float]] = {}
    for row in read(name):
        if row["dataset"] in chosen:
            groups.setdefault("/".join(row[key] for key in keys), []).append(float(row[value]))
    return groups


def lme4(dataset, quantity):
    rows = read("scoring-varcomp-expected.csv")
    wanted = (dataset, "REML", quantity)
    return next(
        float(row["value"])
        for row in rows
        if (row["dataset"], row["method"], row["quantity"]) == wanted
    )


# Sums of squares


@pytest.mark.outside(
    "published: NIST Statistical Reference Datasets, SiRstv and AtmWtAg, certified"
)
@pytest.mark.parametrize("dataset", ["SiRstv", "AtmWtAg"])
def test_sums_of_squares_keep_their_digits(dataset):
    """Groups are contests and values judges of one criterion; AtmWtAg shares seven digits."""
    groups = grouped("scoring-strd-data.csv", ["c1"], "c2", dataset)
    found = sums_of_squares([np.array(values)[:, None] for values in groups.values()])
    f = found.contest / found.contest_df / (found.judge / found.judge_df)
    numbers = {
        "between SS": found.contest,
        "within SS": found.judge,
        "F": f,
        "R2": found.contest / (found.contest + found.judge),
        "residual sd": np.sqrt(found.judge / found.judge_df),
    }
    checked = 0
    for row in read("scoring-strd-expected.csv"):
        if row["dataset"] == dataset:
            quantity = row["quantity"].partition(" (")[0]
            tolerance = float(row["relative_tolerance"])
            assert numbers[quantity] == pytest.approx(float(row["certified"]), rel=tolerance)
            checked += 1
    assert checked >= 4


@pytest.mark.outside("published: Shrout & Fleiss 1979, tables 2 and 3, pp. 423-424")
def test_mean_squares_of_six_targets_and_four_judges():
    """Printed 11.24 between targets, 6.26 within, 1.02 left once judges are taken out.

    A target is a contest: its judges are sheets of one criterion, then criteria of one sheet. The
    fourth, 32.49 between judges, no room of ours takes out: other judges sit at each table.
    """
    targets = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
    nested = sums_of_squares([np.array([target], dtype=float).T for target in targets])
    assert nested.contest / nested.contest_df == pytest.approx(11.24, abs=0.005)
    assert nested.judge / nested.judge_df == pytest.approx(6.26, abs=0.005)
    crossed = sums_of_squares([[target] for target in targets])
    rest = crossed.contest_by_criterion / crossed.contest_by_criterion_df
    assert crossed.contest / crossed.contest_df == pytest.approx(11.24, abs=0.005)
    assert rest == pytest.approx(1.02, abs=0.005)


@pytest.mark.outside("published: Davies and Goldsmith 1972, dyestuff; REML by lme4 1.1-31")
def test_dyestuff_is_judges_in_contests_of_one_criterion():
    batches = grouped("scoring-varcomp-data.csv", ["factor1"], "y", "dyestuff")
    found = sums_of_squares([np.array(values)[:, None] for values in batches.values()])
    within, between = found.judge / found.judge_df, found.contest / found.contest_df
    assert within == pytest.approx(lme4("dyestuff", "var_residual"), rel=1e-4)
    assert (between - within) / 5 == pytest.approx(lme4("dyestuff", "var_factor1"), rel=1e-4)


@pytest.mark.outside("published: Davies and Goldsmith 1972, penicillin; REML as printed with lme4")
def test_penicillin_is_contests_by_criteria_of_one_judge():
    """With one judge the plates are contests; fixed samples leave a balanced table's REML alone."""
    plates = grouped("scoring-varcomp-data.csv", ["factor1"], "y", "penicillin")
    found = sums_of_squares([np.array(values)[None, :] for values in plates.values()])
    rest = found.contest_by_criterion / found.contest_by_criterion_df
    plate = (found.contest / found.contest_df - rest) / 6
    assert (found.judge_df, found.rest_df) == (0, 0)
    assert rest == pytest.approx(lme4("penicillin", "var_residual"), rel=1e-4)
    assert plate == pytest.approx(lme4("penicillin", "var_factor1"), rel=1e-4)
    assert np.sqrt([plate, rest]) == pytest.approx([0.8467, 0.5499], abs=5e-5)


@pytest.mark.outside("published: Davies and Goldsmith 1972, pastes; REML by lme4 1.1-31")
def test_pastes_are_contests_judges_and_two_tests_each():
    """Two tests of a cask are no criteria: their own layer goes back into the rest."""
    casks = grouped("scoring-varcomp-data.csv", ["factor1", "factor2"], "y", "pastes")
    batches: dict[str, list[list[float]]] = {}
    for name, tests in casks.items():
        batches.setdefault(name.partition("/")[0], []).append(tests)
    tables = [np.array(table) for table in batches.values()]
    found = sums_of_squares(tables)
    every = np.concatenate(tables)
    tests = len(every) * float(np.sum((every.mean(axis=0) - every.mean()) ** 2))
    rest = (found.rest + found.contest_by_criterion + tests) / (
        found.rest_df + found.contest_by_criterion_df + 1
    )
    judge, contest = found.judge / found.judge_df, found.contest / found.contest_df
    sizes = sorted(
        [rest, (judge - rest) / 2, (contest - judge) / 6],
    )
    names = ("var_residual", "var_factor1", "var_factor2")
    assert sizes == pytest.approx(sorted(lme4("pastes", name) for name in names), rel=1e-4)


@pytest.mark.outside("computed: scoring-marks-expected.csv, balanced_5, mean squares")
def test_mean_squares_of_the_check_set():
    tables = contests("balanced_5")
    found = sums_of_squares(tables, changed("balanced_5"))
    for quantity, number in {
        "MS event (3 df)": found.contest / found.contest_df,
        "MS event x criterion (12 df)": found.contest_by_criterion / found.contest_by_criterion_df,
        "MS judge in event (20 df)": found.judge / found.judge_df,
        "MS residual (80 df)": found.rest / found.rest_df,
    }.items():
        (value,), tolerance = expected("balanced_5", quantity)
        assert number == pytest.approx(value, abs=tolerance), quantity
    plain = sums_of_squares(tables)
    (value,), tolerance = expected("balanced_5", "MS event x criterion (16 df, change ignored)")
    assert plain.contest_by_criterion_df == 16
    assert plain.contest_by_criterion / 16 == pytest.approx(value, abs=tolerance)
    (value,), tolerance = expected("balanced_5", "mean of all marks (change ignored)")
    assert np.mean(tables) == pytest.approx(value, abs=tolerance)


# Components


@pytest.mark.outside(
    "computed: scoring-marks-expected.csv, REML rows; agree with lme4 1.1-31 and statsmodels 0.15"
)
@pytest.mark.parametrize("dataset", SETS)
def test_components_match_the_check_sets(dataset):
    found = components(contests(dataset), changed(dataset))
    for quantity, name in COMPONENTS.items():
        (value,), tolerance = expected(dataset, quantity)
        assert getattr(found, name) == pytest.approx(value, abs=tolerance), quantity


@pytest.mark.outside("computed: scoring-marks-expected.csv, REML changes and their standard error")
@pytest.mark.parametrize("dataset", SETS)
def test_components_weigh_contests_as_reml_does(dataset):
    """The changes that follow from the components, by weighted means of levels and profiles."""
    tables, on = contests(dataset), np.array(changed(dataset))
    found, n_criteria = components(tables, on), 5
    means = np.array([table.mean(axis=0) for table in tables])
    judges = np.array([len(table) for table in tables])
    level = found.day + found.criterion / 5 + (found.judge + found.rest / 5) / judges
    profile = found.criterion + found.rest / judges
    change, variance = np.zeros(n_criteria), 0.0
    levels = np.repeat(means.mean(axis=1, keepdims=True), n_criteria, axis=1)
    for values, spread, part in ((levels, level, 1), (means - levels, profile, 0.8)):
        for side, sign in ((on, 1), (~on, -1)):
            weight = 1 / spread[side]
            change += sign * np.average(values[side], axis=0, weights=weight)
            variance += part / weight.sum()
    (value,), tolerance = expected(dataset, "REML standard error of a change")
    assert np.sqrt(variance) == pytest.approx(value, abs=tolerance)
    for number, key in zip(change, ("k1", "k2", "k3", "k4", "k5"), strict=True):
        (value,), tolerance = expected(dataset, f"REML change {key}")
        assert number == pytest.approx(value, abs=tolerance)


def drawn(rng, sheets, sds, criteria=4):
    """Tables with swings of the day, the criterion, the judge and the rest."""
    day, criterion, judge, rest = sds
    return [
        7
        + rng.normal(0, day)
        + rng.normal(0, criterion, criteria)
        + rng.normal(0, judge, (n, 1))
        + rng.normal(0, rest, (n, criteria))
        for n in sheets
    ]


@pytest.mark.outside("computed: statsmodels' MixedLM on tables of three to six judges")
def test_components_match_statsmodels():
    rng = np.random.default_rng(11)
    tables = drawn(rng, [3, 5, 4, 6, 5, 3, 5, 4, 6, 5], (0.6, 0.5, 0.5, 0.6))
    on = [False, True] * 5
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        fit = mixed_model(tables, on).fit(reml=True)
    found = components(tables, on)
    by_name = dict(zip(fit.model.exog_vc.names, fit.vcomp, strict=True))
    assert found.rest == pytest.approx(fit.scale, rel=1e-3)
    assert found.judge == pytest.approx(by_name["judge"], rel=1e-3)
    assert found.criterion == pytest.approx(by_name["criterion"], rel=1e-3)
    assert found.day == pytest.approx(float(fit.cov_re.iloc[0, 0]), rel=1e-3)


@given(st.integers(0, 10_000))
@settings(max_examples=25, deadline=None)
def test_nothing_near_the_found_components_is_likelier(start):
    rng = np.random.default_rng(start)
    tables = drawn(rng, rng.integers(2, 6, size=6), [*rng.choice([0, 0.3, 0.8], 3), 0.5])
    found = components(tables)
    top = Likelihood(tables, None, sums_of_squares(tables))
    at = np.array([found.day, found.criterion, found.judge, found.rest])
    for index in range(4):
        for step in (-0.02, 0.02):
            near = at.copy()
            near[index] = max(at[index] + step * at.sum(), 0 if index < 3 else 1e-6)
            assert top.deviance(near)[0] >= top.deviance(at)[0] - 1e-6


def test_both_ways_agree_where_both_can_be_taken():
    """The closed form stands at the top of the likelihood that is climbed elsewhere."""
    tables = contests("balanced_5")
    closed = components(tables)
    top = Likelihood(tables, None, sums_of_squares(tables))
    at = np.array([closed.day, closed.criterion, closed.judge, closed.rest])
    for index in range(4):
        for step in (0.98, 1.02):
            near = at.copy()
            near[index] *= step
            assert top.deviance(near)[0] > top.deviance(at)[0]


@pytest.mark.outside("computed: SciPy's finite differences")
def test_the_slope_of_the_likelihood():
    tables, on = contests("unequal_12"), changed("unequal_12")
    top = Likelihood(tables, on, sums_of_squares(tables, on))
    at = np.array([0.2, 0.1, 0.3, 0.6])
    assert check_grad(lambda x: top.deviance(x)[0], lambda x: top.deviance(x)[1], at) < 1e-4


# Shares


@given(st.integers(0, 10_000))
@settings(max_examples=25, deadline=None)
def test_shares_add_up(start):
    rng = np.random.default_rng(start)
    found = swing_shares(drawn(rng, [4, 5, 3, 5], (0.3, 0.3, 0.3, 0.5)), HALVES[:4])
    parts = (found.judges, found.day, found.criterion, found.rest)
    assert sum(parts) == pytest.approx(1)
    assert min(parts) >= 0
    assert 0 < found.table <= 1
    assert sum(whole_percents(parts)) == 100


def test_shares_come_near_the_truth_over_many_contests():
    rng = np.random.default_rng(8)
    found = swing_shares(drawn(rng, [5] * 300, (0.5, 0.3, 0.4, 0.7)), HALVES[:4])
    truth = np.array([0.16, 0.25, 0.09, 0.49]) / 0.99
    assert [found.judges, found.day, found.criterion, found.rest] == pytest.approx(truth, abs=0.05)
    assert found.swing == pytest.approx(np.sqrt(0.99), rel=0.05)
    assert found.table == pytest.approx(0.0565 / (0.0565 + 0.2725), abs=0.04)


def test_a_change_does_not_count_as_the_days_swing():
    rng = np.random.default_rng(9)
    tables = drawn(rng, [5] * 10, (0.2, 0.2, 0.4, 0.5))
    on = [False, True] * 5
    moved = [table + 2 * side for table, side in zip(tables, on, strict=True)]
    calm, out = (swing_shares(some, HALVES[:4], on) for some in (tables, moved))
    assert astuple(out) == pytest.approx(astuple(calm))
    assert swing_shares(moved, HALVES[:4]).day > 0.5


def test_what_cannot_be_told_apart_is_not_told():
    tables = contests("balanced_5")
    assert swing_shares(tables[:2], HALVES) is None
    assert swing_shares(tables[:3], HALVES) is not None
    assert swing_shares(tables[:3], HALVES, [0, 1, 1]) is None
    assert swing_shares([table[:1] for table in tables], HALVES) is None
    assert swing_shares([table[:, :1] for table in tables], HALVES[:1]) is None
    assert swing_shares([np.full((5, 5), 8.0)] * 4, HALVES) is None
    blank = [table.copy() for table in tables[:3]]
    blank[0][:, 2] = np.nan
    assert swing_shares(blank, HALVES) is None
    for bad in (
        [np.full((2, 2), np.nan)],
        [],
        [np.empty((0, 3))],
        [np.ones((2, 2)), np.ones((2, 3))],
    ):
        with pytest.raises(ValueError):
            sums_of_squares(bad)
    with pytest.raises(ValueError, match="columns"):
        swing_shares([table[:, :2] for table in tables], HALVES)
    with pytest.raises(ValueError, match="least"):
        swing_shares(tables, [replace(HALVES[0], least=None), *HALVES[1:]])
    with pytest.raises(ValueError, match="say with or without"):
        swing_shares(tables, HALVES, [True])


# Ranges

PARTS = ("judges", "day", "criterion", "rest", "table")


@pytest.mark.outside("computed: coverage by simulation, as scoring.md has it for other intervals")
@pytest.mark.parametrize(
    ("sheets", "sds"),
    [([5] * 5, (0.5, 0.3, 0.4, 0.7)), ([3, 4, 6] * 3, (0.5, 0.3, 0.4, 0.7))],
    ids=["five contests", "unequal tables"],
)
def test_eight_of_ten_ranges_hold_the_truth(sheets, sds):
    """Within what 150 trials allow: 0.8 give or take three standard errors."""
    rng = np.random.default_rng(5)
    day, criterion, judge, rest = (sd**2 for sd in sds)
    luck = (judge + rest / 4) / np.mean(sheets)
    truth = np.array([judge, day, criterion, rest, 0]) / (judge + day + criterion + rest)
    truth[4] = luck / (luck + day + criterion / 4)
    held = np.zeros(5)
    for _ in range(150):
        found = swing_ranges(drawn(rng, sheets, sds), HALVES[:4], rng, draws=1000)
        ends = np.array([getattr(found, name) for name in PARTS])
        held += (ends[:, 0] <= truth) & (truth <= ends[:, 1])
    assert held / 150 == pytest.approx(0.8, abs=0.1)


def test_more_contests_make_the_ranges_narrower():
    rng = np.random.default_rng(8)
    tables = drawn(rng, [5] * 300, (0.5, 0.3, 0.4, 0.7))
    few, many = (swing_ranges(some, HALVES[:4], rng) for some in (tables[:6], tables))
    shares = swing_shares(tables, HALVES[:4])
    for name in PARTS:
        low, high = getattr(many, name)
        assert high - low < getattr(few, name)[1] - getattr(few, name)[0]
        assert low < getattr(shares, name) < high


def test_ranges_stand_where_shares_do():
    tables = contests("balanced_5")
    assert swing_ranges(tables[:2], HALVES, np.random.default_rng(1)) is None
    one, two = (swing_ranges(tables, HALVES, np.random.default_rng(1)) for _ in range(2))
    assert one == two
    level = [np.full((3, 5), 7.0) + n for n in range(4)]  # only the day moves
    assert swing_ranges(level, HALVES, np.random.default_rng(1)).day == (1, 1)


def test_the_sentence():
    shares = swing_shares(contests("balanced_5"), HALVES)
    said = luck_share_sentence(shares)
    assert said.startswith("Of the swing in a single mark, ")
    assert "roughly" in luck_share_sentence(replace(shares, contests=11))
    assert "strict" not in said  # one box a contest: strict, or not taken by this box, is the same
    assert said.endswith(
        " % of what moves our average is who sat there. From five contests, so roughly."
    )
    assert luck_share_sentence(None).startswith("Too few ")
    assert "roughly" not in luck_share_sentence(replace(shares, contests=12))
