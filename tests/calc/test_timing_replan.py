"""Behind the plan: what has started stays, little moves, and what is given up is said."""

from dataclasses import replace

import pytest

from teamops.calc.timing import (
    Cap,
    Day,
    Edge,
    Job,
    Link,
    Outcome,
    Person,
    Plan,
    Progress,
    Rule,
    Step,
    Window,
    check_plan,
    freeze,
    replan,
    replan_sentence,
    shift,
    solve,
)
from teamops.calc.timing.ticks import PER_MINUTE
from tests.calc.timing_days import demo_day


def clock(tick: int) -> str:
    return f"{tick // 240}:{tick % 240 // 4:02}"


def until(day: Day, plan: Plan, now: int, behind: int = 0) -> Progress:
    """All went by the plan up to `now`, and then nothing for `behind` ticks."""
    ticks = {step.key: step.ticks for step in day.steps()}
    started = {key: at for key, at in plan.starts.items() if at < now}
    ended = {key: at + ticks[key] for key, at in started.items() if at + ticks[key] <= now}
    return Progress(now + behind, started, ended)


def begun(entries: int = 3, apart: float = 20) -> tuple[Day, Plan]:
    day = demo_day(entries, 2, apart, before_close=5, rack=True)
    return day, solve(day).plan


def test_on_time_nothing_moves():
    day, plan = begun()
    for now in (plan.starts["A trim"], plan.starts["A sear 2"], plan.starts["C rest"]):
        new = replan(day, plan, until(day, plan, now))
        assert (new.moved, new.late, new.cut, new.missed) == ({}, {}, {}, ())
        assert new.answer.plan.starts == plan.starts


def test_eight_minutes_behind_every_box_still_makes_its_window():
    """Three entries, two people: the tempering gives, the windows hold."""
    day, plan = begun()
    now = plan.starts["A tie"]
    new = replan(day, plan, until(day, plan, now, behind=8 * PER_MINUTE))
    assert new.answer.plan is not None
    assert (new.late, new.missed) == ({}, ())
    assert check_plan(new.day, new.answer.plan) == ()
    assert len(new.moved) < len(plan.starts) / 2
    for job in day.jobs:
        end = new.answer.plan.starts[job.last.key] + job.last.ticks
        assert job.window.opens <= end <= job.window.closes
    for key in until(day, plan, now).started:
        assert new.answer.plan.starts[key] == plan.starts[key]


def test_a_temper_cut_short_is_said_with_its_new_length():
    day, plan = begun(1)
    now = plan.starts["A temper"]
    new = replan(day, plan, until(day, plan, now, behind=14 * PER_MINUTE))
    assert new.late == {}
    assert 20 * PER_MINUTE <= new.cut["A temper"] < 30 * PER_MINUTE
    sentence = replan_sentence(day, new, clock)
    assert sentence.startswith("Box A: temper at ")
    assert "not 30 min" in sentence


def test_too_late_for_the_window_is_said_and_planned_as_soon_as_it_goes():
    day, plan = begun(1)
    now = plan.starts["A sear 1"]
    new = replan(day, plan, until(day, plan, now, behind=12 * PER_MINUTE))
    assert new.late["A"] > 0
    assert new.answer.plan is not None
    assert "turn in what you have" in replan_sentence(day, new, clock)


def test_a_gap_that_has_passed_is_told_never_hidden():
    """The steaks came off the last press and lay five minutes before anybody set them to rest."""
    day, plan = begun(1)
    now = plan.starts["A rest"]
    new = replan(day, plan, until(day, plan, now, behind=5 * PER_MINUTE))
    assert [(f.rule, f.about, f.by) for f in new.missed] == [
        (Rule.MOST, ("A sear 4", "A rest"), 5 * PER_MINUTE)
    ]
    assert new.answer.plan is not None


def test_a_cap_over_several_steps_is_told_too():
    steps = (Step("trim", "trim", 4, 1), Step("cool", "cool", 20), Step("sear", "sear", 4, 1))
    cap = Cap("time out of the cold", "trim", "sear", most=40)
    links = (Link("trim", "cool"), Link("cool", "sear"))
    day = Day(0, (Job("A", "A", steps, links, (cap,), Window(100, 160, 130)),), (Person("a", "A"),))
    plan = solve(day).plan
    behind = until(day, plan, plan.starts["trim"] + 4, behind=30)
    new = replan(day, plan, behind)
    assert [(f.rule, f.name) for f in new.missed] == [(Rule.CAP, "time out of the cold")]


def test_a_cap_up_to_the_end_of_a_step():
    steps = (Step("rest", "rest", 20), Step("walk", "walk", 8, 1))
    ends = {"first_edge": Edge.END, "then_edge": Edge.END}
    cap = Cap("rack", "rest", "walk", 24, 36, **ends)
    day = Day(0, (Job("A", "A", steps, (), (cap,), Window(100, 160, 130)),), (Person("a", "A"),))
    plan = solve(day).plan
    assert 24 <= plan.starts["walk"] + 8 - plan.starts["rest"] - 20 <= 36
    new = replan(day, plan, Progress(plan.starts["walk"] + 30, {"rest": plan.starts["rest"]},
                                     {"rest": plan.starts["rest"] + 20}))  # fmt: skip
    assert [(f.rule, f.name) for f in new.missed] == [(Rule.CAP, "rack")]


def test_a_step_that_runs_over_is_as_long_as_it_has_run():
    day, plan = begun(1)
    start = plan.starts["A trim"]
    frozen = freeze(day, plan, Progress(start + 60, {"A trim": start}, {}))
    trim = next(step for step in frozen.steps() if step.key == "A trim")
    assert trim.ticks == 60
    assert trim.spread.low == 15
    assert frozen.pins == {"A trim": start}
    assert frozen.crew == {"A trim": plan.crew["A trim"]}


def test_a_running_step_keeps_its_cook_busy():
    steps = tuple(Step(k, k, 10, 1, cook="ana") for k in ("carve", "plate"))
    jobs = tuple(
        Job(s.key, s.key, (s,), window=Window(0, 90, t))
        for s, t in zip(steps, (40, 60), strict=True)
    )
    day = Day(0, jobs, (Person("ana", "Ana"), Person("ben", "Ben")))
    plan = solve(day).plan
    new = replan(day, plan, Progress(65, {"carve": 60}, {}))
    assert new.answer.plan.starts["plate"] == 70


def test_same_cook_as_on_the_step_that_has_started():
    day = demo_day(1, 3, 0, before_close=5, same_cook=True)
    plan = solve(day).plan
    now = plan.starts["A sear 2"]
    new = replan(day, plan, until(day, plan, now, behind=1))
    crew = new.answer.plan.crew
    assert {crew[f"A sear {n}"] for n in (1, 2, 3, 4)} == {plan.crew["A sear 1"]}


def test_a_moved_window_moves_its_box():
    day, plan = begun(2)
    later = shift(day, 0)
    window = later.jobs[1].window
    moved = replace(window, opens=window.opens + 40, closes=window.closes + 40,
                    target=window.target + 40)  # fmt: skip
    later = replace(later, jobs=(later.jobs[0], replace(later.jobs[1], window=moved)))
    new = replan(later, plan, until(day, plan, plan.starts["A season"]), moved={"B"})
    assert new.answer.outcome in (Outcome.PROVED_BEST, Outcome.GOOD)
    assert new.answer.plan.starts["B walk"] > plan.starts["B walk"]
    assert new.answer.plan.starts["A walk"] == plan.starts["A walk"]


@pytest.mark.parametrize(
    ("progress", "says"),
    [
        (Progress(10, {"nothing": 1}, {}), "no step nothing"),
        (Progress(10, {"A trim": 18}, {}), "trim is said to happen 2 min from now"),
        (Progress(10, {}, {"A trim": 5}), "trim has ended before it started"),
        (Progress(10, {"A trim": 8}, {"A trim": 5}), "trim has ended before it started"),
    ],
)
def test_progress_that_cannot_be(progress, says):
    day, plan = begun(1)
    with pytest.raises(ValueError, match=says):
        replan(day, plan, progress)
