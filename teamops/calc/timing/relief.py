"""A day that cannot work: which single change would make it work, each tried before it is told."""

import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from teamops.calc.timing.clash import Short, find_clash
from teamops.calc.timing.ladder import Answer, solve
from teamops.calc.timing.net import build
from teamops.calc.timing.records import Day, Job, Person, Step
from teamops.calc.timing.ticks import PER_MINUTE

STAGGER = tuple(n * PER_MINUTE for n in (2, 5, 10, 15, 20, 30, 45, 60))  # ticks later
SHORTEN = tuple(n * PER_MINUTE for n in (1, 2, 3, 5, 10))  # ticks less


class Change(StrEnum):
    """A thing a team can do about it."""

    HANDS = "hands"  # another person
    PLACE = "place"  # another place on `about`
    STAGGER = "stagger"  # the turn-in of `about` later by `ticks`
    SPREAD = "spread"  # every turn-in at least `ticks` after the one before
    SHORTER = "shorter"  # the step named `about` shorter by `ticks` in every box
    EARLIER = "earlier"  # begin the day earlier by `ticks`


@dataclass(frozen=True, slots=True)
class Relief:
    """One change after which there is a plan, with that plan's answer. [ticks]"""

    change: Change
    about: str
    ticks: int
    answer: Answer


def what_would_help(day: Day, *, limit_s: float = 6.0, seed: int = 1) -> tuple[Relief, ...]:
    """
    Single changes that make a plan possible, the smallest of each kind, each proved by a plan.

    In at most `limit_s` seconds [s] plus one attempt, a sixth of it; what was not tried by then is
    left out, so that an empty answer is no proof. Refuses (ValueError) nonsense.
    """
    until = time.monotonic() + limit_s
    found: list[Relief] = []
    for ladder in _ladders(day):
        # the largest change first: where that does not help, none of its kind does
        for change, about, ticks, changed in [*ladder[-1:], *ladder[:-1]]:
            if time.monotonic() > until:
                return tuple(found)
            answer = solve(changed, seed=seed, limit_s=limit_s / 6, tries=20, any_plan=True)
            relief = Relief(change, about, ticks, answer) if answer.plan else None
            largest = changed is ladder[-1][-1]
            if largest:
                found += [relief] if relief else []
            elif relief:
                found[-1] = relief
            if bool(relief) != largest:  # the largest fails, or a smaller one will do
                break
    return tuple(found)


Trial = tuple[Change, str, int, Day]


def _ladders(day: Day) -> Iterator[Sequence[Trial]]:
    """Each kind of change, smallest first."""
    yield [(Change.HANDS, "", 0, _with_helper(day))]
    for i, resource in enumerate(day.resources):
        more = replace(resource, capacity=resource.capacity + 1)
        resources = (*day.resources[:i], more, *day.resources[i + 1 :])
        yield [(Change.PLACE, resource.key, 0, replace(day, resources=resources))]
    last = max((j for j in day.jobs if j.window), key=_closes, default=None)
    if last:
        yield [(Change.STAGGER, last.key, by, _later(day, {last.key: by})) for by in STAGGER]
        yield [(Change.SPREAD, "", by, _spread(day, by)) for by in STAGGER[:5]]
    begun = bool(day.pins)
    if not begun:
        yield [(Change.EARLIER, "", by, replace(day, begins=day.begins - by)) for by in STAGGER[2:]]
    step = _longest_work(day)
    if step:
        shorter = [by for by in SHORTEN if by < step.ticks]
        yield [(Change.SHORTER, step.name, by, _shorter(day, step.name, by)) for by in shorter]


def _with_helper(day: Day) -> Day:
    taken = {person.key for person in day.people}
    key = next(k for n in range(len(taken) + 1) if (k := f"helper {n}") not in taken)
    return replace(day, people=(*day.people, Person(key, "one more")))


def _closes(job: Job) -> int:
    return job.window.closes if job.window else 0


def _spread(day: Day, apart: int) -> Day:
    """Windows pushed on until each closes so long after the one before."""
    by: dict[str, int] = {}
    free = 0
    for job in sorted((j for j in day.jobs if j.window), key=_closes):
        by[job.key] = max(0, free - _closes(job)) if by else 0
        free = _closes(job) + by[job.key] + apart
    return _later(day, by)


def _later(day: Day, later: Mapping[str, int]) -> Day:
    def moved(job: Job) -> Job:
        by = later.get(job.key, 0)
        if job.window is None or not by:
            return job
        w = job.window
        window = replace(w, opens=w.opens + by, closes=w.closes + by, target=w.target + by)
        return replace(job, window=window)

    return replace(day, jobs=tuple(map(moved, day.jobs)))


def _longest_work(day: Day) -> Step | None:
    """The longest step of those in the way: in the stretch that is short, or of the last boxes."""
    clash = find_clash(day)
    jobs = [job for job in day.jobs if job.window and (not clash or job.key in clash.jobs)]
    steps = [step for job in jobs for step in job.steps if step.key not in day.pins]
    if clash and clash.short != Short.TIME:
        first = dict(zip((s.key for s in day.steps()), build(day).earliest, strict=True))
        steps = [step for step in steps if step.hands and first[step.key] >= clash.start]
    return max(steps, key=lambda step: (step.ticks * max(1, step.hands), step.key), default=None)


def _shorter(day: Day, name: str, by: int) -> Day:
    def cut(step: Step) -> Step:
        if step.name != name or step.key in day.pins:
            return step
        ticks = max(0, step.ticks - by)
        return replace(step, ticks=ticks, least=step.least and min(step.least, ticks))

    jobs = tuple(replace(job, steps=tuple(map(cut, job.steps))) for job in day.jobs)
    return replace(day, jobs=jobs)
