"""Critical path, PERT and beta-PERT against worked examples."""

import math

import numpy as np
import pytest
from scipy.stats import norm

from teamops.calc.timing import (
    Pace,
    Spread,
    critical_path,
    draw,
    learned_spread,
    pert,
    pert_mean,
    pert_variance,
    usual_spread,
)

TAYLOR = "published: Taylor, Introduction to Management Science, solution manual ch. 8, problem 1"
# activity on arc: nodes from-to, length, then earliest start and end, latest start and end, slack
ARCS = {
    "1-2": (7, 0, 7, 2, 9, 2),
    "1-3": (10, 0, 10, 0, 10, 0),
    "2-4": (6, 7, 13, 9, 15, 2),
    "3-4": (5, 10, 15, 10, 15, 0),
    "3-5": (4, 10, 14, 14, 18, 4),
    "4-5": (3, 15, 18, 15, 18, 0),
    "5-6": (2, 18, 20, 18, 20, 0),
}
HOMEWORK = {
    "A": (5, 5, 7, ""), "B": (1, 2, 5, ""), "C": (5, 5, 5, "A"), "D": (4, 8, 13, "A"),
    "E": (1, 10, 17, "BC"), "F": (1, 5, 7, "D"), "G": (2, 6, 9, "D"), "H": (4, 4, 6, "EF"),
    "I": (2, 7, 10, "GH"), "J": (2, 4, 7, "I"), "K": (6, 10, 13, "I"), "L": (2, 6, 6, "J"),
    "M": (2, 2, 3, "K"), "N": (7, 7, 12, "LM"),
}  # fmt: skip
SOLVED = {
    "1": (5, 8, 17), "2": (7, 10, 13), "3": (3, 5, 7), "4": (1, 3, 5), "5": (4, 6, 8),
    "6": (3, 3, 3), "7": (3, 4, 5),
}  # fmt: skip


@pytest.mark.outside(TAYLOR)
def test_critical_path_is_the_printed_table():
    before = {key: [other for other in ARCS if other[-1] == key[0]] for key in ARCS}
    path = critical_path({key: row[0] for key, row in ARCS.items()}, before)
    assert path.length == 20
    assert path.critical == ("1-3", "3-4", "4-5", "5-6")
    for key, (_, *expected) in ARCS.items():
        step = path.steps[key]
        row = [step.early_start, step.early_end, step.late_start, step.late_end, step.slack]
        assert row == expected


@pytest.mark.outside("published: Taylor, ch. 8 solved problem: activity means, variances, path")
def test_pert_is_the_solved_problem():
    """The figure was not at hand: only the critical chain 1-3-5-7 is rebuilt."""
    spreads = {key: Spread(*three) for key, three in SOLVED.items()}
    assert [pert_mean(s) for s in spreads.values()] == [9, 10, 5, 3, 6, 3, 4]
    variances = [pert_variance(s) for s in spreads.values()]
    assert variances == pytest.approx([4, 1, 0.444, 0.444, 0.444, 0, 0.111], abs=0.0005)
    chain = {key: spreads[key] for key in "1357"}
    found = pert(chain, {"3": ["1"], "5": ["3"], "7": ["5"]})
    assert (found.mean, found.variance) == (24, pytest.approx(5))
    assert found.chance_within(28) == pytest.approx(0.9633, abs=0.0002)  # z rounded in the table


@pytest.mark.outside("published: 14-activity PERT homework, means and slacks; chances computed")
def test_pert_is_the_homework():
    spreads = {key: Spread(*row[:3]) for key, row in HOMEWORK.items()}
    found = pert(spreads, {key: list(row[3]) for key, row in HOMEWORK.items()})
    assert found.path.critical == tuple("ACEHIKMN")
    assert found.mean == pytest.approx(50.83, abs=0.005)
    assert found.variance == pytest.approx(11.19, abs=0.005)
    slack = {key: round(step.slack, 2) for key, step in found.path.steps.items()}
    assert (slack["B"], slack["D"], slack["F"]) == (8.00, 1.83, 1.83)
    assert found.chance_within(55) == pytest.approx(0.8935, abs=0.0001)
    assert found.chance_within(53) == pytest.approx(0.7414, abs=0.0001)


def test_pert_without_spread_is_certain():
    found = pert({"a": Spread(2, 2, 2)}, {})
    assert (found.chance_within(2), found.chance_within(1.99)) == (1, 0)


def test_of_two_critical_paths_the_wilder_one_counts():
    spreads = {"a": Spread(1, 2, 3), "b": Spread(0, 2, 4), "c": Spread(1, 1, 1)}
    assert pert(spreads, {"c": ["a", "b"]}).variance == pytest.approx((4 / 6) ** 2)


@pytest.mark.outside("computed: sum of beta-PERT variances (mean - a)(b - mean)/7, 400,000 draws")
def test_the_normal_formula_is_too_hopeful():
    rng = np.random.default_rng(7)
    spreads = [Spread(*SOLVED[key]) for key in "1357"]
    whole = sum(draw(spread, 400_000, rng) for spread in spreads)
    means = [pert_mean(s) for s in spreads]
    exact = sum((m - s.low) * (s.high - m) / 7 for m, s in zip(means, spreads, strict=True))
    assert exact == pytest.approx(5.86, abs=0.005)
    assert whole.mean() == pytest.approx(24.0, abs=0.02)
    assert whole.var() == pytest.approx(exact, abs=0.05)
    assert np.mean(whole <= 28) == pytest.approx(0.938, abs=0.003)


@pytest.mark.outside("computed: mean of the larger of two normal N(10, 1), 10 + 1/sqrt(pi)")
def test_two_paths_that_meet_are_later_than_either():
    rng = np.random.default_rng(3)
    later = np.maximum(*norm.rvs(10, 1, size=(2, 400_000), random_state=rng))
    assert later.mean() == pytest.approx(10 + 1 / math.sqrt(math.pi), abs=0.005)
    # and so with our own draws: PERT says 4.0 for each of two such steps side by side
    walks = [draw(Spread(2, 4, 6), 100_000, rng) for _ in range(2)]
    assert np.maximum(*walks).mean() > 4.3


def test_draws_stay_between_the_ends():
    rng = np.random.default_rng(1)
    drawn = draw(Spread(1.5, 2, 5), 10_000, rng)
    assert 1.5 <= drawn.min() < drawn.max() <= 5
    assert (draw(Spread(5, 5, 5), 3, rng) == 5).all()


@pytest.mark.parametrize("three", [(3, 2, 4), (1, 5, 4), (-1, 2, 3), (1, 2, math.inf)])
def test_spreads_are_in_order(three):
    with pytest.raises(ValueError, match="shortest"):
        Spread(*three)


@pytest.mark.parametrize(
    ("lengths", "before", "says"),
    [
        ({}, {}, "no steps"),
        ({"a": -1}, {}, "0 or more"),
        ({"a": 1}, {"a": ["b"]}, "no step b"),
        ({"a": 1, "b": 1, "c": 1}, {"a": ["b"], "b": ["a"]}, "a and b wait for each other"),
    ],
)
def test_networks_that_make_no_sense(lengths, before, says):
    with pytest.raises(ValueError, match=says):
        critical_path(lengths, before)


def test_a_wait_has_no_spread_and_a_walk_has():
    assert usual_spread(5, Pace.WAIT) == Spread(5, 5, 5)
    walk = usual_spread(2, Pace.WALK)
    assert walk.low < 2 < walk.high


def test_own_logs_replace_the_starter_as_they_come():
    starter = Spread(2, 3, 6)
    assert learned_spread(starter, []) == starter
    once = learned_spread(starter, [4])
    assert (once.low, once.likely, once.high) == pytest.approx((2.4, 3.2, 5.6))
    assert learned_spread(starter, [4, 4.5, 4, 5, 4.2]) == Spread(4, 4.2, 5)
    with pytest.raises(ValueError, match="0 or more"):
        learned_spread(starter, [-1])


def test_no_draws_are_refused():
    with pytest.raises(ValueError, match="at least 1"):
        draw(Spread(1, 2, 3), 0, np.random.default_rng(1))
