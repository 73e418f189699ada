"""What a cook is told."""

from dataclasses import replace

import pytest

from teamops.calc.timing import (
    Block,
    BoxChance,
    Change,
    Outcome,
    Plan,
    Relief,
    Rule,
    SafeStart,
    Weakness,
    answer_sentence,
    box_sentence,
    chance_words,
    check_plan,
    clash_sentence,
    fault_sentence,
    find_clash,
    minutes_words,
    relief_sentence,
    safe_sentence,
    solve,
    weakness_sentence,
)
from teamops.calc.timing.check import Fault
from tests.calc.timing_days import demo_day


def clock(tick: int) -> str:
    return f"{8 + tick // 240}:{tick % 240 // 4:02}"


def test_a_clash_says_who_when_and_how_much():
    day = demo_day(6, 2, 0)
    assert clash_sentence(day, find_clash(day), clock) == (
        "Box A, Box B, Box C, Box D, Box E and Box F: between 11:25 and 12:00 the work is "
        "75 hand-minutes, and Ana and Ben can give 68.5: 6.5 short."
    )
    said = answer_sentence(day, solve(day), clock)
    assert said.startswith("This day cannot be planned as it stands; that is proved. Box A")


def test_too_little_time_says_how_much():
    day = replace(demo_day(1, 2, 0), begins=760)
    assert clash_sentence(day, find_clash(day), clock) == "Box A: 15.5 min too few before 12:00."


def test_a_grill_and_a_lone_cook_are_named():
    day = demo_day(1, 2, 0)
    clash = find_clash(demo_day(6, 2, 0))
    grill = replace(clash, short=type(clash.short).PLACES, name="the grill", jobs=("A",))
    assert "place-minutes, and the grill can give" in clash_sentence(day, grill, clock)
    lone = replace(clash, name="ben", jobs=("A",))
    assert "and Ben can give" in clash_sentence(day, lone, clock)


def test_each_outcome_is_honest():
    day = demo_day(1, 2, 0)
    best = solve(day, solver=False)
    assert answer_sentence(day, best, clock).startswith("Proved best")
    for outcome, word in (
        (Outcome.GOOD, "a better one may exist"), (Outcome.UNDECIDED, "does not prove"),
    ):  # fmt: skip
        assert word in answer_sentence(day, replace(best, outcome=outcome), clock)


@pytest.mark.parametrize(
    ("change", "about", "ticks", "said"),
    [
        (Change.HANDS, "", 0, "With another pair of hands it works."),
        (Change.PLACE, "grill", 0, "With one more place on the grill it works."),
        (Change.STAGGER, "A", 40, "With Box A turned in 10 min later it works."),
        (Change.SPREAD, "", 20, "With turn-ins at least 5 min apart it works."),
        (Change.SHORTER, "box", 3, "With box 45 s shorter in every box it works."),
        (Change.EARLIER, "", 6, "Beginning 1.5 min earlier, it works."),
    ],
)
def test_what_would_help_is_one_sentence(change, about, ticks, said):
    day = demo_day(1, 2, 0)
    answer = solve(day, solver=False)
    assert relief_sentence(day, Relief(change, about, ticks, answer)) == said


def test_every_fault_has_its_sentence():
    day = demo_day(1, 2, 0)
    day = replace(day, blocks=(Block("the cooks' meeting", 700, 716),))
    plan = solve(day).plan
    starts = dict(plan.starts) | {"A trim": 699, "A walk": 980}
    crew = dict(plan.crew) | {"A trim": ("ana",), "A box": ()}
    said = [fault_sentence(day, f, clock) for f in check_plan(day, Plan(starts, crew))]
    assert "Box A is turned in 7 min outside its window, at 12:07." in said
    assert "Ana has Box A's trim and the cooks' meeting at once, from 10:55, for 4 min." in said
    assert "Box A's box has not the number of people it wants." in said
    for rule in Rule:
        fault = Fault(rule, ("A trim", "A walk"), 2, 700, "ana")
        assert "{" not in fault_sentence(day, fault, clock)


def test_chances_are_whole_percents_and_nothing_is_certain():
    assert [chance_words(p) for p in (0, 0.004, 0.974, 0.996, 1)] == [
        "less than 1 %", "less than 1 %", "97 %", "more than 99 %", "more than 99 %",
    ]  # fmt: skip
    day = demo_day(1, 2, 0)
    box = BoxChance("A", 0.83, 0.0, 0.17, (950, 955, 970))
    assert box_sentence(day, box) == "Box A makes its window: 83 % (17 % late)."
    sure = replace(box, inside=1.0, late=0.0)
    assert box_sentence(day, sure) == "Box A makes its window: more than 99 %."
    assert weakness_sentence(day, Weakness("A walk", 0.4)) == (
        "If walk of Box A goes slowly, every box in its window: 40 %."
    )


def test_a_safe_start_rounds_to_the_careful_side():
    day = demo_day(1, 2, 0)
    safe = SafeStart("A sear 1", 870, 879.9, "A")
    assert safe_sentence(day, safe, clock) == "Box A: start sear 1 by 11:39; 2.25 min of slack."
    unsafe = replace(safe, safe=860.2)
    assert safe_sentence(day, unsafe, clock) == (
        "Box A: sear 1 should start by 11:35, and is planned later."
    )


def test_lengths_are_said_to_the_tick():
    assert [minutes_words(t) for t in (0, 3, 4, 6, 480)] == [
        "0 min", "45 s", "1 min", "1.5 min", "120 min",
    ]  # fmt: skip


def test_many_people_are_not_listed():
    day = demo_day(12, 4, 0, capacity=24)
    assert "the 4 of you can give 137" in clash_sentence(day, find_clash(day), clock)
