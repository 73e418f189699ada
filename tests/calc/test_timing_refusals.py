"""What no plan can be made of is refused in a sentence that says what and where."""

from dataclasses import replace

import pytest

from teamops.calc.timing import (
    Block,
    Cap,
    Day,
    Job,
    Link,
    Outcome,
    Person,
    Plan,
    Resource,
    Rule,
    Step,
    Window,
    check_plan,
    minutes_of,
    solve,
    ticks_down,
    ticks_up,
)

TRIM, BOX = Step("trim", "trim", 8, 1), Step("box", "box", 8, 1)
JOB = Job("A", "Box A", (TRIM, BOX), (Link("trim", "box"),), window=Window(80, 120, 100))
DAY = Day(0, (JOB,), (Person("ana", "Ana"),), (Resource("grill", "the grill", 2),))


def with_job(**changes) -> Day:
    return replace(DAY, jobs=(replace(JOB, **changes),))


@pytest.mark.parametrize(
    ("day", "says"),
    [
        (replace(DAY, jobs=()), "nothing to plan"),
        (with_job(steps=()), "Box A has no steps"),
        (replace(DAY, people=()), "trim wants 1 people, there are 0"),
        (with_job(steps=(replace(TRIM, skill="knife"), BOX), links=()), None),
        (with_job(steps=(replace(TRIM, hands=3), BOX)), "trim wants 3 people, there are 1"),
        (with_job(steps=(replace(TRIM, ticks=-1), BOX)), "less than no time"),
        (with_job(steps=(replace(TRIM, cook="zoe"), BOX)), "trim is for zoe"),
        (with_job(steps=(replace(TRIM, least=9), BOX)), "cannot be cut"),
        (with_job(steps=(replace(TRIM, uses=(("grill", 3),)), BOX)), "wants 3 places on grill"),
        (with_job(steps=(replace(TRIM, uses=(("oven", 1),)), BOX)), "there are 0"),
        (with_job(steps=(TRIM, TRIM), links=()), "step trim is there twice"),
        (with_job(links=(Link("trim", "bake"),)), "no step bake"),
        (with_job(links=(Link("trim", "box"), Link("box", "trim"))),
         "trim and box wait for each other"),
        (with_job(caps=(Cap("cold", "trim", "box", most=4),)),
         "the gaps need 1 min more than the caps allow"),
        (with_job(links=(Link("trim", "box", 8, 4),)), "the gaps need 1 min more"),
        (with_job(window=Window(120, 80, 100)), "Box A: the window must open before it closes"),
        (with_job(window=Window(80, 120, 130)), "its target inside"),
        (replace(DAY, blocks=(Block("meeting", 9, 2),)), "meeting ends before"),
        (replace(DAY, blocks=(Block("meeting", 2, 9, frozenset({"zoe"})),)), "somebody unknown"),
        (replace(DAY, pins={"bake": 3}), "no step bake"),
        (with_job(steps=(replace(TRIM, same_cook="a"), replace(BOX, same_cook="a", hands=0),
                         Step("lift", "lift", 2, 0, same_cook="a"))), None),
    ],
)  # fmt: skip
def test_nonsense_is_refused(day, says):
    if says is None:
        assert solve(day, solver=False).plan is not None
        return
    with pytest.raises(ValueError, match=says):
        solve(day)


def test_steps_that_go_together_want_the_same_hands():
    people = (Person("ana", "Ana"), Person("ben", "Ben"))
    steps = (replace(TRIM, same_cook="a"), replace(BOX, same_cook="a", hands=2))
    with pytest.raises(ValueError, match="trim and box go together, and want other hands"):
        solve(replace(with_job(steps=steps), people=people))


def test_steps_that_go_together_need_somebody_for_them_all():
    people = (Person("ana", "Ana", frozenset({"knife"})), Person("ben", "Ben", frozenset({"fire"})))
    steps = (replace(TRIM, same_cook="a", skill="knife"), replace(BOX, same_cook="a", skill="fire"))
    with pytest.raises(ValueError, match="nobody may do them all"):
        solve(replace(with_job(steps=steps), people=people))


def test_the_one_who_may_do_all_of_them_gets_them():
    people = (Person("ben", "Ben", frozenset()), Person("ana", "Ana"))
    steps = (replace(TRIM, same_cook="a", skill="knife"), replace(BOX, same_cook="a"))
    plan = solve(replace(with_job(steps=steps), people=people), solver=False).plan
    assert plan.crew == {"trim": ("ana",), "box": ("ana",)}


def test_windows_that_overlap_impossibly_are_an_outcome():
    twin = Job("B", "Box B", (replace(BOX, key="B box"),), window=Window(100, 101, 100))
    day = replace(DAY, jobs=(replace(JOB, window=Window(100, 101, 100)), twin))
    answer = solve(day)
    assert answer.outcome == Outcome.IMPOSSIBLE
    assert answer.clash.jobs == ("A", "B")


def test_a_plan_asked_in_the_past_is_an_outcome():
    answer = solve(replace(DAY, begins=500))
    assert answer.outcome == Outcome.IMPOSSIBLE
    assert answer.clash.by > 0


def test_each_fault_is_told_with_what_and_by_how_much():
    people = (Person("ana", "Ana"), Person("ben", "Ben", frozenset()))
    steps = (replace(TRIM, skill="knife", uses=(("grill", 2),), cook="ana"),
             replace(BOX, uses=(("grill", 1),)))  # fmt: skip
    cap = Cap("cold", "trim", "box", most=10)
    day = replace(with_job(steps=steps, caps=(cap,), links=(Link("trim", "box", 0, 1),)),
                  people=people, blocks=(Block("meeting", 60, 66),))  # fmt: skip
    found = check_plan(day, Plan({"trim": 64, "box": 68}, {"trim": ("ben",), "box": ("ben",)}))
    assert {(fault.rule, fault.by) for fault in found} == {
        (Rule.LEAST, 4), (Rule.WINDOW, 4), (Rule.PLACES, 1), (Rule.SKILL, 0), (Rule.COOK, 0),
        (Rule.TWICE, 4), (Rule.TWICE, 2),
    }  # fmt: skip
    late = check_plan(day, Plan({"trim": -2, "box": 90}, {"trim": ("ana",), "box": ()}))
    assert {(fault.rule, fault.by) for fault in late} == {
        (Rule.BEGINS, 2), (Rule.MOST, 83), (Rule.CAP, 82), (Rule.HANDS, 1),
    }  # fmt: skip
    assert [fault.rule for fault in check_plan(day, Plan({}, {}))] == [Rule.MISSING] * 2


def test_what_has_started_must_stay():
    fault = check_plan(replace(DAY, pins={"trim": 5}), Plan({"trim": 7, "box": 92},
                       {"trim": ("ana",), "box": ("ana",)}))  # fmt: skip
    assert [(f.rule, f.by) for f in fault] == [(Rule.PIN, 2)]


def test_durations_round_up_and_caps_down():
    assert (ticks_up(1.5), ticks_up(1.51), ticks_down(1.51)) == (6, 7, 6)
    assert (ticks_up(0.1 + 0.2 - 0.05), ticks_down(0.25)) == (1, 1)
    assert minutes_of(7) == 1.75
    with pytest.raises(ValueError, match="finite"):
        ticks_up(float("nan"))
