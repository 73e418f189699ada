"""Published projects: their best plans pass our checker, and the solver finds and proves them."""

from dataclasses import replace

import pytest

from teamops.calc.timing import Outcome, Plan, Rule, check_plan, has_solver, solve
from teamops.calc.timing.net import TooTight, build, plan_of
from teamops.calc.timing.scheme import search
from teamops.calc.timing.solver import Found, solve_net
from tests.calc.timing_days import published

needs_solver = pytest.mark.skipif(not has_solver(), reason="OR-Tools (extra `plan`) is missing")
KOLISCH = "published: PSPLIB, Kolisch & Sprecher, EJOR 96 (1997) 205-216, list of optima"
SCHUTT = "published: RCPSP/max optima with Schutt et al., arXiv 1009.0347"
BEST = {
    "j301_1": 43, "j3013_1": 58, "j3045_1": 82, "j601_1": 77, "sm_j10_psp1": 26, "ubo10_psp2": 45,
}  # fmt: skip


def best_plan(name: str) -> tuple:
    day, file = published(name)
    last = day.jobs[0].last.key
    shift = day.jobs[0].window.target - file["one_optimal_start_vector"][last]
    starts = {key: at + shift for key, at in file["one_optimal_start_vector"].items()}
    return day, Plan(starts, {})


@pytest.mark.outside(f"{KOLISCH}; {SCHUTT}; start vectors computed")
@pytest.mark.parametrize("name", BEST)
def test_a_best_plan_passes_the_checker_at_its_published_length(name):
    day, plan = best_plan(name)
    assert check_plan(day, plan) == ()
    assert build(day).cost(tuple(plan.starts.values())) == BEST[name]


@pytest.mark.parametrize("name", BEST)
def test_the_checker_sees_when_a_best_plan_is_squeezed(name):
    """A plan shorter than the best breaks something: here every step one tick nearer to the end."""
    day, plan = best_plan(name)
    last = day.jobs[0].last.key
    squeezed = {key: at if key == last else at + 1 for key, at in plan.starts.items()}
    assert check_plan(day, replace(plan, starts=squeezed))


@needs_solver
@pytest.mark.outside(KOLISCH)
@pytest.mark.parametrize(
    ("name", "horizon"),
    [
        ("j301_1", 60),
        ("j601_1", 160),
        pytest.param("j3045_1", 100, marks=pytest.mark.slow),
    ],
)
def test_the_solver_proves_the_published_optimum(name, horizon):
    """j3013_1 takes the solver some ten seconds, too long for here."""
    day, file = published(name, horizon)
    net = build(day)
    solved = solve_net(net, limit_s=40)
    assert solved.found == Found.BEST
    assert solved.built.cost == solved.bound == file["published_optimum"] == BEST[name]
    assert check_plan(day, plan_of(day, net, solved.built.starts, solved.built.crew)) == ()


@needs_solver
@pytest.mark.outside(SCHUTT)
@pytest.mark.parametrize("name", ["sm_j10_psp1", "ubo10_psp2"])
def test_most_gaps_too(name):
    day, file = published(name)
    answer = solve(day)
    assert answer.outcome == Outcome.PROVED_BEST
    assert answer.cost == file["published_optimum"]


@needs_solver
@pytest.mark.outside(SCHUTT)
def test_a_project_without_a_plan_is_proved_to_have_none():
    day, file = published("sm_j10_psp2")
    assert file["published_optimum"] == "infeasible"
    assert solve(day).outcome == Outcome.IMPOSSIBLE


@pytest.mark.outside(KOLISCH)
def test_without_the_solver_the_scheme_is_honest():
    """It finds a plan that holds, not shorter than the best, and does not call it the best."""
    day, _ = published("j301_1")
    answer = solve(day, solver=False)
    assert answer.outcome == Outcome.GOOD
    assert answer.bound <= 43 <= answer.cost


def test_shorter_than_its_longest_chain_is_out_by_the_clock():
    day, _ = published("j301_1", 20)
    with pytest.raises(TooTight):
        build(day)
    assert solve(day).clash.by > 0


def test_the_checker_counts_places():
    day, plan = best_plan("j301_1")
    heap = dict.fromkeys(plan.starts, 0)
    rules = {fault.rule for fault in check_plan(day, replace(plan, starts=heap))}
    assert {Rule.PLACES, Rule.CAP} <= rules


def test_the_same_seed_gives_the_same_plan():
    day, _ = published("sm_j10_psp1")
    assert search(build(day), seed=3, tries=20) == search(build(day), seed=3, tries=20)
