"""What holds for any day: no plan breaks a rule, shifts carry over, help never hurts."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teamops.calc.timing import (
    Block,
    Cap,
    Day,
    Job,
    Link,
    Outcome,
    Person,
    Progress,
    Resource,
    Spread,
    Step,
    Window,
    check_plan,
    has_solver,
    replan,
    shift,
    solve,
)
from teamops.calc.timing.coarse import coarser, is_exact, looser
from teamops.calc.timing.net import TooTight, build, plan_of
from teamops.calc.timing.solver import Found, solve_net

needs_solver = pytest.mark.skipif(not has_solver(), reason="OR-Tools (extra `plan`) is missing")
SKILLS = ("", "", "knife")
COOKS = ("ana", "ben", "cam")


@st.composite
def jobs(draw, key: str, plain: bool) -> Job:
    count = draw(st.integers(1, 4))
    steps = []
    for i in range(count):
        skill = "" if plain else draw(st.sampled_from(SKILLS))
        ticks, hands = draw(st.integers(0, 9)), draw(st.integers(0, 1))
        cook = draw(st.sampled_from(("", "", "ana"))) if hands and not plain else ""
        same = "" if plain else draw(st.sampled_from(("", key)))
        places = (("grill", 1),) if draw(st.booleans()) else ()
        least = draw(st.integers(0, ticks))
        minutes = Spread(ticks / 8, ticks / 4, ticks / 2)
        steps.append(
            Step(f"{key}{i}", f"step {i}", ticks, hands, skill, cook, same, places, minutes, least)
        )
    links = tuple(
        Link(a.key, b.key, least, None if wide is None else least + wide)
        for a, b in pairwise(steps)
        for least, wide in [(draw(st.integers(0, 3)), draw(st.none() | st.integers(0, 4)))]
    )
    whole = sum(step.ticks for step in steps) + sum(link.least for link in links)
    cap = Cap("cap", steps[0].key, steps[-1].key, most=whole + draw(st.integers(0, 6)))
    opens = draw(st.integers(30, 70))
    closes = opens + draw(st.integers(0, 12))
    window = Window(opens, closes, draw(st.integers(opens, closes)))
    return Job(key, f"Box {key}", tuple(steps), links, (cap,), window)


@st.composite
def days(draw, plain: bool = False) -> Day:
    boxes = tuple(draw(jobs(key, plain)) for key in "ABC"[: draw(st.integers(1, 3))])
    people = tuple(
        Person(key, key.title(), None if plain or key == "ana" else frozenset())
        for key in COOKS[: draw(st.integers(1, 3))]
    )
    meeting = draw(st.integers(10, 60))
    who = None if plain else draw(st.sampled_from((None, frozenset({"ana"}))))
    blocks = (Block("meeting", meeting, meeting + draw(st.integers(0, 8)), who),)
    grill = Resource("grill", "the grill", draw(st.integers(1, 2)))
    return Day(0, boxes, people, (grill,), blocks)


@given(days())
@settings(max_examples=60, deadline=None)
def test_no_plan_breaks_a_gap_a_capacity_a_window_or_a_cap(day):
    answer = solve(day, solver=False, tries=8)
    if answer.plan:
        assert check_plan(day, answer.plan) == ()
        assert answer.cost >= answer.bound


@needs_solver
@given(days())
@settings(max_examples=20, deadline=None)
def test_scheme_and_solver_never_contradict_each_other(day):
    scheme, full = solve(day, solver=False, tries=8), solve(day, limit_s=2, tries=8)
    if scheme.plan:
        assert full.outcome in (Outcome.PROVED_BEST, Outcome.GOOD)
        assert full.cost <= scheme.cost
    if scheme.outcome == Outcome.PROVED_BEST:
        assert full.cost == scheme.cost
    if Outcome.IMPOSSIBLE in (scheme.outcome, full.outcome):
        assert full.plan is None
        assert scheme.plan is None


@needs_solver
@given(days())
@settings(max_examples=15, deadline=None)
def test_the_count_and_the_coarse_clocks_are_sound(day):
    """Counting a clash or failing on the easy clock means no plan; a hard clock's plan holds."""
    try:
        net = build(day)
    except TooTight:
        return
    exact = solve_net(net, limit_s=2)
    if solve(day, solver=False, tries=2).outcome == Outcome.IMPOSSIBLE:
        assert exact.found == Found.NONE
    if exact.built:
        assert solve_net(looser(net, 2), limit_s=2, cheapest=False).found != Found.NONE
    hard = coarser(net, 2)
    if hard and (found := solve_net(hard, limit_s=2).built):
        starts = [2 * at for at in found.starts]
        assert check_plan(day, plan_of(day, net, starts, found.crew)) == ()


@given(days(), st.integers(-100, 5000))
@settings(max_examples=40, deadline=None)
def test_shifting_all_windows_shifts_the_plan(day, by):
    here, there = solve(day, solver=False, tries=5), solve(shift(day, by), solver=False, tries=5)
    assert (here.outcome, here.cost) == (there.outcome, there.cost)
    if here.plan:
        assert there.plan.starts == {key: at + by for key, at in here.plan.starts.items()}
        assert there.plan.crew == here.plan.crew


@needs_solver
@given(days(plain=True))
@settings(max_examples=20, deadline=None)
def test_another_person_never_makes_it_worse(day):
    more = replace(day, people=(*day.people, Person("dee", "Dee")))
    before, after = solve(day, limit_s=3), solve(more, limit_s=3)
    if before.outcome == Outcome.PROVED_BEST:
        assert after.outcome == Outcome.PROVED_BEST
        assert after.cost <= before.cost


@given(days(), st.data())
@settings(max_examples=40, deadline=None)
def test_a_new_plan_keeps_what_has_started(day, data):
    plan = solve(day, solver=False, tries=5).plan
    if plan is None:
        return
    now = data.draw(st.integers(0, 90))
    ticks = {step.key: step.ticks for step in day.steps()}
    started = {key: at for key, at in plan.starts.items() if at <= now}
    late = data.draw(st.integers(0, 5))
    ended = {key: at + ticks[key] for key, at in started.items() if at + ticks[key] <= now}
    new = replan(day, plan, Progress(now + late, started, ended), limit_s=0.5)
    if new.answer.plan is None:
        return
    assert check_plan(new.day, new.answer.plan) == ()
    for key, at in started.items():
        assert new.answer.plan.starts[key] == at
        assert key not in new.moved
    assert all(at >= now + late for key, at in new.answer.plan.starts.items() if key not in started)
    if not late:
        assert new.moved == {}, "on time, the plan stays as it is"
        assert (new.late, new.cut, new.missed) == ({}, {}, ())


def doubled(day: Day) -> Day:
    """The same day with every length and moment twice as long."""

    def job(one: Job) -> Job:
        w = one.window
        return replace(
            one,
            steps=tuple(replace(s, ticks=2 * s.ticks, least=2 * (s.least or 0)) for s in one.steps),
            links=tuple(
                replace(k, least=2 * k.least, most=None if k.most is None else 2 * k.most)
                for k in one.links
            ),
            caps=tuple(replace(c, most=2 * (c.most or 0)) for c in one.caps),
            window=w and Window(2 * w.opens, 2 * w.closes, 2 * w.target),
        )

    blocks = tuple(replace(b, start=2 * b.start, end=2 * b.end) for b in day.blocks)
    return replace(day, jobs=tuple(map(job, day.jobs)), blocks=blocks)


@needs_solver
@given(days())
@settings(max_examples=15, deadline=None)
def test_where_all_is_even_the_coarse_clock_tells_the_truth(day):
    try:
        net = build(twice := doubled(day))
    except TooTight:
        return
    assert is_exact(net, 2)
    fine, rough = solve_net(net, limit_s=3), solve_net(coarser(net, 2), limit_s=3)
    assert fine.found == rough.found
    if fine.found == Found.BEST:
        starts = [2 * at for at in rough.built.starts]
        assert net.cost(starts) == fine.built.cost
        assert check_plan(twice, plan_of(twice, net, starts, rough.built.crew)) == ()
