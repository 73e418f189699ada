"""Plans of the demo entry: the 24 cases, tight days, named people, and days that cannot work."""

import subprocess
import sys
from dataclasses import replace

import pytest

from teamops.calc.timing import (
    Block,
    Cap,
    Change,
    Day,
    Job,
    Link,
    Method,
    Outcome,
    Person,
    Resource,
    Short,
    Step,
    Window,
    check_plan,
    find_clash,
    has_solver,
    solve,
    what_would_help,
)
from teamops.calc.timing.clash import stretch_need
from teamops.calc.timing.coarse import coarser, is_exact, looser
from teamops.calc.timing.net import build, plan_of
from teamops.calc.timing.scheme import search
from teamops.calc.timing.solver import Found, solve_net
from tests.calc.timing_days import PEOPLE, demo_day

needs_solver = pytest.mark.skipif(not has_solver(), reason="OR-Tools (extra `plan`) is missing")
CASES = [
    (entries, people, apart) for apart in (10, 30) for people in (2, 3) for entries in range(1, 7)
]


def small(steps: tuple[Step, ...], links: tuple[Link, ...] = (), **given) -> Day:
    """One box of these steps, aimed at tick 100 (window 80-110), two people, one grill."""
    job = Job("A", "Box A", steps, links, window=Window(80, 110, 100))
    base = {"people": (Person("ana", "Ana"), Person("ben", "Ben"))}
    return Day(0, (job,), **(base | {"resources": (Resource("grill", "the grill", 1),)} | given))


@needs_solver
@pytest.mark.outside("computed: constraint program and backward scheme agree on all 24 demo days")
@pytest.mark.parametrize(("entries", "people", "apart"), CASES)
def test_scheme_and_solver_find_the_same_optimum(entries, people, apart):
    day = demo_day(entries, people, apart)
    net = build(day)
    built, proved = search(net)
    assert proved, "the scheme meets its own bound"
    solved = solve_net(net, limit_s=10)
    assert solved.found == Found.BEST
    assert solved.built.cost == built.cost
    for found in (built, solved.built):
        assert check_plan(day, plan_of(day, net, found.starts, found.crew)) == ()


@pytest.mark.parametrize(("entries", "people", "apart"), CASES)
def test_the_scheme_alone_is_proved_best(entries, people, apart):
    answer = solve(demo_day(entries, people, apart), solver=False)
    assert (answer.outcome, answer.method) == (Outcome.PROVED_BEST, Method.SCHEME)
    assert answer.cost == answer.bound


@needs_solver
@pytest.mark.outside("computed: three entries in one window, three people: proved best")
def test_one_window_for_three_entries_and_three_people():
    answer = solve(demo_day(3, 3, 0))
    assert answer.outcome == Outcome.PROVED_BEST
    assert check_plan(demo_day(3, 3, 0), answer.plan) == ()


@needs_solver
@pytest.mark.slow
@pytest.mark.outside("computed: three entries in one window, two people: proved best in under 5 s")
def test_one_window_for_three_entries_and_two_people():
    day = demo_day(3, 2, 0)
    answer = solve(day, limit_s=15)
    assert answer.outcome == Outcome.PROVED_BEST
    scheme = solve(day, solver=False)
    assert scheme.plan is None or scheme.cost >= answer.cost


@needs_solver
@pytest.mark.parametrize(("entries", "people", "apart"), [(6, 2, 10), (3, 2, 30)])
def test_named_cooks_and_the_rack_rule(entries, people, apart):
    day = demo_day(entries, people, apart, rack=True, same_cook=True, before_close=5)
    answer = solve(day)
    assert answer.outcome == Outcome.PROVED_BEST
    for job in day.jobs:
        assert len({answer.plan.crew[f"{job.key} sear {n}"] for n in (1, 2, 3, 4)}) == 1


def test_a_named_runner_walks_every_box():
    day = demo_day(2, 2, 20)
    jobs = tuple(replace(j, steps=(*j.steps[:-1], replace(j.last, cook="ben"))) for j in day.jobs)
    answer = solve(replace(day, jobs=jobs), solver=False)
    assert [answer.plan.crew[f"{key} walk"] for key in "AB"] == [("ben",), ("ben",)]


def test_a_step_goes_to_somebody_who_may_do_it():
    day = small((Step("trim", "trim", 10, 1, skill="knife"), Step("walk", "walk", 4, 1)),
                (Link("trim", "walk"),))  # fmt: skip
    people = (Person("ana", "Ana", frozenset()), Person("ben", "Ben", frozenset({"knife"})))
    answer = solve(replace(day, people=people), solver=False)
    assert answer.plan.crew["trim"] == ("ben",)


def test_nobody_works_through_the_cooks_meeting():
    day = small((Step("box", "box", 10, 1),), blocks=(Block("cooks' meeting", 85, 98),))
    answer = solve(day, solver=False)
    assert answer.plan.starts["box"] + 10 <= 85 or answer.plan.starts["box"] >= 98
    assert answer.plan.starts["box"] == 98, "8 ticks after the target, rather than 15 before"


def test_a_rest_runs_through_the_meeting():
    day = small((Step("rest", "rest", 40),), blocks=(Block("cooks' meeting", 70, 90),))
    assert solve(day).plan.starts["rest"] == 60


def test_a_meeting_for_one_leaves_the_other():
    day = small(
        (Step("box", "box", 10, 1),),
        blocks=(Block("meeting", 85, 98, frozenset({"ana"})),),
    )
    answer = solve(day, solver=False)
    assert (answer.plan.starts["box"], answer.plan.crew["box"]) == (90, ("ben",))


def test_the_shared_fire_is_lit_before_the_first_sear():
    day = demo_day(2, 2, 10)
    fire = Job("fire", "The fire", (Step("light", "light", 80),))
    links = tuple(Link("light", f"{key} sear 1") for key in "AB")
    answer = solve(replace(day, jobs=(fire, *day.jobs), links=links), solver=False)
    starts = answer.plan.starts
    assert answer.outcome == Outcome.PROVED_BEST
    assert starts["light"] + 80 == min(starts["A sear 1"], starts["B sear 1"])


@pytest.mark.outside("computed: 12.5 hand-minutes an entry inside 34.25 min: 75 against 68.5")
def test_six_entries_in_one_window_fail_the_count_of_hand_minutes():
    day = demo_day(6, 2, 0)
    clash = find_clash(day)
    assert (clash.short, clash.need / 4, clash.have / 4) == (Short.HANDS, 75, 68.5)
    assert clash.jobs == tuple("ABCDEF")
    assert (clash.end - clash.start) / 4 == 34.25
    answer = solve(day)
    assert (answer.outcome, answer.method, answer.clash) == (
        Outcome.IMPOSSIBLE, Method.CLOCK, clash,
    )  # fmt: skip


@pytest.mark.outside("computed: five entries pass the count with 62.5, though there is no plan")
def test_the_count_is_one_sided():
    day = demo_day(5, 2, 0)
    assert find_clash(day) is None
    hands = next(pool for pool in build(day).pools if pool.name == "hands")
    need, have = stretch_need(build(day), hands, 823, 960)
    assert (need / 4, have / 4) == (62.5, 68.5)
    assert solve(day, limit_s=0.3).outcome in (Outcome.UNDECIDED, Outcome.IMPOSSIBLE)


def test_twelve_entries_in_one_window():
    answer = solve(demo_day(12, 3, 0))
    assert answer.outcome == Outcome.IMPOSSIBLE
    assert len(answer.clash.jobs) == 12


def test_too_late_in_the_day_is_said_in_minutes():
    day = replace(demo_day(1, 2, 0), begins=190 * 4)
    answer = solve(day)
    assert (answer.outcome, answer.clash.short) == (Outcome.IMPOSSIBLE, Short.TIME)
    assert answer.clash.by / 4 == 65.5 - 50, "the recipe's 65.5 minutes, 50 are left"


def test_the_grill_can_be_what_is_short():
    day = demo_day(2, 4, 0, capacity=2)
    grill = replace(day.resources[0], capacity=1)
    jobs = tuple(
        replace(job, steps=tuple(
            replace(s, ticks=60) if s.name == "sear 1" else s for s in job.steps))
        for job in day.jobs
    )  # fmt: skip
    clash = find_clash(replace(day, jobs=jobs, resources=(grill,)))
    assert (clash.short, clash.name) == (Short.PLACES, "the grill")


def test_what_one_cook_must_do_alone_is_counted_for_that_cook():
    steps = (Step("a", "carve", 40, 1, cook="ana"),)
    jobs = tuple(Job(k, k, (replace(steps[0], key=k),), window=Window(80, 90, 90)) for k in "AB")
    day = Day(0, jobs, (Person("ana", "Ana"), Person("ben", "Ben")))
    clash = find_clash(day)
    assert (clash.short, clash.name, clash.jobs) == (Short.HANDS, "ana", ("A", "B"))


def test_one_more_pair_of_hands_or_a_later_turn_in_helps():
    steps = tuple(Step(k, f"plate {k}", 30, 1) for k in "AB")
    jobs = tuple(Job(s.key, s.key, (s,), window=Window(90, 100, 100)) for s in steps)
    day = Day(0, jobs, (Person("ana", "Ana"),))
    assert solve(day).outcome == Outcome.IMPOSSIBLE
    helps = {relief.change: relief for relief in what_would_help(day)}
    assert Change.HANDS in helps
    assert helps[Change.SPREAD].ticks == helps[Change.STAGGER].ticks == 20
    for relief in helps.values():
        assert relief.answer.plan is not None


def test_a_shorter_step_helps():
    steps = tuple(Step(k, "plate", 12, 1) for k in "AB")
    jobs = tuple(Job(s.key, s.key, (s,), window=Window(90, 100, 100)) for s in steps)
    helps = what_would_help(Day(0, jobs, (Person("ana", "Ana"),)))
    assert [(r.about, r.ticks) for r in helps if r.change == Change.SHORTER] == [("plate", 4)]


def test_a_coarse_clock_is_exact_only_where_all_is_even():
    even = small((Step("rest", "rest", 40), Step("box", "box", 10, 1)), (Link("rest", "box"),))
    assert is_exact(build(even), 2)
    odd = small((Step("rest", "rest", 41), Step("box", "box", 10, 1)), (Link("rest", "box"),))
    assert not is_exact(build(odd), 2)
    hard, easy = coarser(build(odd), 2), looser(build(odd), 2)
    assert (hard.ticks[0], easy.ticks[0]) == (21, 20)


@needs_solver
@pytest.mark.parametrize("rack", [False, True])
def test_a_plan_of_the_coarse_clock_holds_on_the_true_one(rack):
    day = demo_day(3, 3, 5, rack=rack)
    net = build(day)
    solved = solve_net(coarser(net, 2), limit_s=10)
    starts = [2 * at for at in solved.built.starts]
    assert check_plan(day, plan_of(day, net, starts, solved.built.crew)) == ()
    assert solve_net(looser(net, 2), limit_s=5, cheapest=False).found != Found.NONE


@needs_solver
def test_solver_and_seed_give_the_same_plan_again():
    day = demo_day(3, 3, 0)
    assert solve(day, seed=5).plan == solve(day, seed=5).plan


@needs_solver
def test_where_gaps_pull_apart_the_solver_proves_that_nothing_holds():
    """Two boxes, one cook, both to be finished at the same minute; counting does not see it."""
    steps = [(Step(f"{k}1", "cut", 6, 1), Step(f"{k}2", "wait", 4), Step(f"{k}3", "box", 6, 1))
             for k in "AB"]  # fmt: skip
    jobs = tuple(
        Job(k, k, three, (Link(f"{k}1", f"{k}2", 0, 0), Link(f"{k}2", f"{k}3", 0, 0)),
            window=Window(90, 91, 90))
        for k, three in zip("AB", steps, strict=True)
    )  # fmt: skip
    day = Day(0, jobs, (Person("ana", "Ana"),))
    assert solve(day).outcome == Outcome.IMPOSSIBLE


def test_importing_the_room_does_not_load_the_solver():
    code = "import sys, teamops.calc.timing; sys.exit('ortools' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_a_day_without_people_can_be_all_waiting():
    assert solve(small((Step("rest", "rest", 40),), people=())).plan.starts == {"rest": 60}


def test_two_hands_take_both_people():
    day = small((Step("lift", "lift", 8, 2), Step("walk", "walk", 4, 1)), (Link("lift", "walk"),))
    assert set(solve(day).plan.crew["lift"]) == set(PEOPLE[:2])


def test_a_cap_draws_steps_together():
    steps = (Step("trim", "trim", 4, 1), Step("box", "box", 4, 1))
    capped = small(steps, (Link("trim", "box", 2),))
    cap = Cap("time out", "trim", "box", most=20)
    jobs = (replace(capped.jobs[0], caps=(cap,)),)
    starts = solve(replace(capped, jobs=jobs, blocks=(Block("meeting", 70, 94),))).plan.starts
    assert starts["box"] - starts["trim"] <= 20
