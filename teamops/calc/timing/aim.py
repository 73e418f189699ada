"""Where in its window to aim: not the last second, but where the chance is good."""

from dataclasses import dataclass, replace

import numpy as np

from teamops.calc.timing.ladder import Answer, solve
from teamops.calc.timing.records import Day, Window
from teamops.calc.timing.slack import Chances, chances
from teamops.calc.timing.ticks import PER_MINUTE

BEFORE_CLOSE = 5 * PER_MINUTE  # ticks before the close we mean to be there: common practice
STEP = PER_MINUTE // 2  # ticks a target moves at a time
DRAWS = 2000


@dataclass(frozen=True, slots=True)
class Aimed:
    """A day with targets chosen, its plan, and the chances that come with it."""

    day: Day
    answer: Answer
    chances: Chances


def usual_target(opens: int, closes: int) -> int:
    """
    Five minutes before the close, and in windows under ten minutes halfway. [ticks]

    Never before it opens. Refuses (ValueError) a window that closes before it opens.
    """
    if closes < opens:
        raise ValueError("the window closes before it opens")
    return max(closes - BEFORE_CLOSE, opens + (closes - opens) // 2)


def aim(
    day: Day, *, level: float = 0.95, seed: int = 1, bad_day: float = 1.0, rounds: int = 12
) -> Aimed | None:
    """
    Move targets earlier, half a minute at a time, until each box has the chance asked for.

    Begins with the usual targets; stops where nothing is left to move, with the best it saw (by
    the weakest box). The plans are the scheme's, so this is quick; None if it finds none. Refuses
    (ValueError) a level not between 0 and 1, and nonsense.
    """
    if not 0 < level < 1:
        raise ValueError(f"the level must be between 0 and 1, got {level}")
    targets = {job.key: usual_target(w.opens, w.closes) for job in day.jobs if (w := job.window)}
    best: Aimed | None = None
    for _ in range(rounds):
        aimed = _at(day, targets, seed, bad_day)
        if aimed is None:
            break
        if best is None or _weakest(aimed) > _weakest(best):
            best = aimed
        weak = [box.job for box in aimed.chances.boxes if box.inside < level and box.late > 0]
        opens = {job.key: job.window.opens for job in day.jobs if job.window}
        movable = [key for key in weak if targets[key] > opens[key]]
        if not movable:
            break
        for key in movable:
            targets[key] = max(opens[key], targets[key] - STEP)
    return best


def with_targets(day: Day, targets: dict[str, int]) -> Day:
    """The same day, aimed elsewhere. [ticks]"""

    def moved(key: str, window: Window | None) -> Window | None:
        return replace(window, target=targets.get(key, window.target)) if window else None

    jobs = tuple(replace(job, window=moved(job.key, job.window)) for job in day.jobs)
    return replace(day, jobs=jobs)


def _at(day: Day, targets: dict[str, int], seed: int, bad_day: float) -> Aimed | None:
    aimed = with_targets(day, targets)
    answer = solve(aimed, seed=seed, solver=False)
    if answer.plan is None:
        return None
    rng = np.random.default_rng(seed)
    odds = chances(aimed, answer.plan, rng, size=DRAWS, bad_day=bad_day)
    return Aimed(aimed, answer, odds)


def _weakest(aimed: Aimed) -> float:
    return min((box.inside for box in aimed.chances.boxes), default=1.0)
