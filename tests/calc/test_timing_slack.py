"""Chances, latest safe starts and weak spots of the demo days."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import beta

from teamops.calc.timing import (
    Day,
    Job,
    Link,
    Person,
    Plan,
    Spread,
    Step,
    Window,
    aim,
    chances,
    safe_starts,
    solve,
    usual_target,
    weaknesses,
)
from teamops.calc.timing.order import partial_order
from tests.calc.timing_days import demo_day

DRAWS = 40_000


def rng() -> np.random.Generator:
    return np.random.default_rng(11)


def planned(day: Day) -> Plan:
    return solve(day, solver=False).plan


@pytest.mark.outside("computed: 200,000 draws by another program, +-.005")
@pytest.mark.parametrize(
    ("before_close", "inside"),
    [(0, 0.092), (1, 0.488), (2, 0.830), (3, 0.969), (4, 0.997), (5, 1.000)],
)
def test_a_plan_for_the_last_second_is_late_nine_times_in_ten(before_close, inside):
    day = demo_day(1, 2, 0, before_close=before_close)
    box = chances(day, planned(day), rng(), size=DRAWS).box("A")
    assert box.inside == pytest.approx(inside, abs=0.007)
    assert box.inside + box.early + box.late == pytest.approx(1)


@pytest.mark.outside("computed: latest safe starts at 95 % by another program, +-.05 min")
def test_latest_safe_starts_of_the_demo_entry():
    day = demo_day(1, 2, 0)
    safe = safe_starts(day, planned(day), rng(), size=DRAWS)
    before = {key[2:]: (960 - start.safe) / 4 for key, start in safe.items()}
    for step, minutes in {
        "temper": 40.24, "sear 1": 20.24, "sear 2": 18.72, "sear 3": 17.21, "sear 4": 15.69,
        "rest": 14.15, "finish": 9.15, "box": 7.38, "walk": 3.52,
    }.items():  # fmt: skip
        assert before[step] == pytest.approx(minutes, abs=0.05)
    assert safe["A sear 1"].slack == pytest.approx(4 * (17.5 - 20.24), abs=0.3)


@pytest.mark.outside("computed: 95 % point of beta-PERT(1.5, 2, 5) by scipy.stats.beta")
def test_the_walk_alone_is_exact():
    point = 1.5 + 3.5 * beta.ppf(0.95, 1 + 4 * 0.5 / 3.5, 1 + 4 * 3 / 3.5)
    assert point == pytest.approx(3.520, abs=0.0005)
    day = demo_day(1, 2, 0)
    safe = safe_starts(day, planned(day), rng(), size=200_000)["A walk"].safe
    assert (960 - safe) / 4 == pytest.approx(point, abs=0.02)


@pytest.mark.outside("computed: chances of several entries by another program, its plans, +-.02")
@pytest.mark.parametrize(
    ("before_close", "first", "worst"), [(3, 0.97, 0.73), (5, 1.00, 0.97), (6, 1.00, 0.99)]
)
def test_later_entries_inherit_delays(before_close, first, worst):
    """Three entries 30 minutes apart, two people; which box inherits depends on the plan."""
    day = demo_day(3, 2, 30, before_close=before_close)
    odds = [box.inside for box in chances(day, planned(day), rng(), size=20_000).boxes]
    assert max(odds) == pytest.approx(first, abs=0.02)
    assert min(odds) == pytest.approx(worst, abs=0.02)


@pytest.mark.outside("computed: three entries in one window, three people, +-.02")
@pytest.mark.parametrize(("before_close", "low"), [(3, 0.96), (5, 1.00)])
def test_three_in_one_window(before_close, low):
    day = demo_day(3, 3, 0, before_close=before_close)
    odds = [box.inside for box in chances(day, planned(day), rng(), size=20_000).boxes]
    assert min(odds) == pytest.approx(low, abs=0.025)


def test_a_bad_day_makes_it_worse():
    day = demo_day(2, 2, 10, before_close=4)
    fair, wet, cold = (
        chances(day, planned(day), rng(), bad_day=slow).all_inside for slow in (1.0, 1.15, 1.3)
    )
    assert fair > wet > cold
    with pytest.raises(ValueError, match="above 0"):
        chances(day, planned(day), rng(), bad_day=0)


def test_the_same_draws_give_the_same_chances():
    day = demo_day(2, 2, 10)
    assert chances(day, planned(day), rng()) == chances(day, planned(day), rng())


def test_all_boxes_at_once_are_no_likelier_than_the_weakest():
    day = demo_day(4, 2, 10, before_close=3)
    odds = chances(day, planned(day), rng())
    assert odds.all_inside <= min(box.inside for box in odds.boxes)


def test_aimed_too_early_a_box_comes_before_its_window_opens():
    steps = (Step("walk", "walk", 8, 1, spread=Spread(1, 2, 4)),)
    day = Day(0, (Job("A", "A", steps, window=Window(96, 140, 98)),), (Person("a", "A"),))
    box = chances(day, planned(day), rng()).box("A")
    assert box.early > 0.05
    assert box.late == 0
    assert box.turned_in[0] < 96 < box.turned_in[1] < box.turned_in[2]


def test_a_broken_most_gap_has_its_chance():
    """Ana is still tying B when A comes off the grill, and A may wait half a minute only."""
    tie = Job(
        "B", "B", (Step("tie", "tie", 8, 1, spread=Spread(1, 2, 6)),), window=Window(0, 90, 8)
    )
    steps = (Step("sear", "sear", 8), Step("pull", "pull", 4, 1))
    sear = Job("A", "A", steps, (Link("sear", "pull", 0, 2),), window=Window(0, 90, 12))
    day = Day(0, (tie, sear), (Person("ana", "Ana"),))
    gaps = chances(day, planned(day), rng()).gaps
    assert [(gap.first, gap.then) for gap in gaps] == [("sear", "pull")]
    assert 0.1 < gaps[0].broken < 0.6


def test_the_order_keeps_people_and_places():
    day = demo_day(2, 1, 10, capacity=1)
    order = partial_order(day, planned(day))
    handed = [wait for waits in order.waits for wait in waits if wait.hands]
    assert len(handed) >= 2 * 10 - 1 + 8 - 1  # one cook's 20 steps, one place's 8 sears


def test_steps_no_box_waits_for_have_no_latest_start():
    day = demo_day(1, 2, 0)
    clean = Job("clean", "Clean", (Step("sweep", "sweep", 4, 1),))
    day = replace(day, jobs=(*day.jobs, clean), people=(*day.people, Person("cam", "Cam")))
    assert "sweep" not in safe_starts(day, planned(day), rng())
    with pytest.raises(ValueError, match="between 0 and 1"):
        safe_starts(day, planned(day), rng(), level=1)


def test_weak_spots_are_steps_that_vary_worst_first():
    day = demo_day(1, 2, 0, before_close=5)
    found = weaknesses(day, planned(day), rng())
    assert [weakness.all_inside for weakness in found] == sorted(w.all_inside for w in found)
    assert found[0].step in ("A walk", "A box")
    assert not {"A rest", "A temper", "A marinate"} & {weakness.step for weakness in found}


def test_the_usual_target_is_inside_the_window():
    assert usual_target(200, 240) == 220  # ten minutes: five before the close
    assert usual_target(100, 240) == 220
    assert usual_target(230, 240) == 235
    assert usual_target(240, 240) == 240
    with pytest.raises(ValueError, match="closes before"):
        usual_target(2, 1)


def test_aiming_moves_the_weak_boxes_until_each_has_its_chance():
    day = demo_day(4, 2, 10)
    aimed = aim(day, level=0.95)
    assert min(box.inside for box in aimed.chances.boxes) >= 0.95
    bad = aim(day, level=0.95, bad_day=1.15)
    kept = aim(day, level=0.95, bad_day=1.15, rounds=1)
    assert min(b.inside for b in bad.chances.boxes) >= min(b.inside for b in kept.chances.boxes)
    for job in bad.day.jobs:
        assert job.window.opens <= job.window.target <= job.window.closes
    assert aim(demo_day(12, 2, 0)) is None
    with pytest.raises(ValueError, match="between 0 and 1"):
        aim(day, level=0)
