"""The rest of the day, once it has begun: what has started stays, what is left moves little."""

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, replace

from teamops.calc.timing.check import Fault, Rule, check_plan
from teamops.calc.timing.ladder import Answer, solve
from teamops.calc.timing.net import push
from teamops.calc.timing.records import Cap, Day, Edge, Job, Link, Plan, Spread, Step, Window
from teamops.calc.timing.sense import arcs_of
from teamops.calc.timing.ticks import minutes_of

LATE_BY = 240  # ticks past its close a box is still planned for, once its window cannot be made


@dataclass(frozen=True, slots=True)
class Progress:
    """What has happened by `now`: when steps started, and when some of them ended. [ticks]"""

    now: int
    started: Mapping[str, int]
    ended: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Replanned:
    """
    The rest of the day, on the `day` it was planned for.

    `missed` are caps and gaps that can no longer be kept, never hidden; `late` how long after its
    close each box comes that cannot make its window; `cut` the steps that must be shorter than
    planned, with their new length; `moved` the steps with another start, old and new. [ticks]
    """

    answer: Answer
    day: Day
    missed: tuple[Fault, ...]
    late: Mapping[str, int]
    cut: Mapping[str, int]
    moved: Mapping[str, tuple[int, int]]


def replan(
    day: Day,
    plan: Plan,
    progress: Progress,
    *,
    moved: Collection[str] = (),
    limit_s: float = 5.0,
) -> Replanned:
    """
    Plan what is left: as planned if it goes, then with steps cut short, then with boxes late.

    `moved` are the jobs whose windows have changed since the plan: they aim at their targets, all
    others at the moment they were planned for. `limit_s` is for each of the attempts. [s]
    Refuses (ValueError) progress that is not of this day, lies after `now`, or ends what has not
    started, and nonsense as `solve` does.
    """
    frozen = freeze(day, plan, progress, moved)
    kept = _without(frozen, lambda over: over > 0)
    shorter = _cut(kept)
    loose = _late(_cut(_without(frozen, lambda over: True)))
    for trial in (kept, shorter, _late(shorter), loose):
        answer = solve(trial, limit_s=limit_s)
        if answer.plan:
            return _told(frozen, trial, plan, answer)
    return Replanned(answer, kept, (), {}, {}, {})


def freeze(day: Day, plan: Plan, progress: Progress, moved: Collection[str] = ()) -> Day:
    """The day with what has started pinned, at the length it took, and the plan as what is near.

    Refuses (ValueError) progress as `replan` does.
    """
    _refuse_progress(day, progress)
    jobs = tuple(
        replace(
            job,
            steps=tuple(_as_it_went(step, progress) for step in job.steps),
            window=job.window if job.key in moved else _aimed_as_planned(job, plan),
        )
        for job in day.jobs
    )
    pins = dict(progress.started)
    crew = {key: plan.crew.get(key, ()) for key in pins}
    near = {key: at for key, at in plan.starts.items() if key not in pins}
    begins = max(day.begins, progress.now)
    return replace(day, begins=begins, jobs=jobs, pins=pins, crew=crew, near=near)


def shift(day: Day, by: int) -> Day:
    """The whole day so much later: windows, meetings, begin, what is pinned and near. [ticks]"""
    jobs = tuple(
        replace(
            job,
            window=job.window
            and replace(
                job.window,
                opens=job.window.opens + by,
                closes=job.window.closes + by,
                target=job.window.target + by,
            ),
        )
        for job in day.jobs
    )
    return replace(
        day,
        begins=day.begins + by,
        jobs=jobs,
        blocks=tuple(replace(b, start=b.start + by, end=b.end + by) for b in day.blocks),
        pins={key: at + by for key, at in day.pins.items()},
        near={key: at + by for key, at in day.near.items()},
    )


def _refuse_progress(day: Day, progress: Progress) -> None:
    names = {step.key: step.name for step in day.steps()}
    for key, at in [*progress.started.items(), *progress.ended.items()]:
        if key not in names:
            raise ValueError(f"there is no step {key}")
        if at > progress.now:
            after = minutes_of(at - progress.now)
            raise ValueError(f"{names[key]} is said to happen {after:g} min from now")
    for key, at in progress.ended.items():
        if key not in progress.started or at < progress.started[key]:
            raise ValueError(f"{names[key]} has ended before it started")


def _aimed_as_planned(job: Job, plan: Plan) -> Window | None:
    """The window with its target where the plan has the turn-in, if that is inside."""
    at = plan.starts[job.last.key] + job.last.ticks
    if job.window is None or not job.window.opens <= at <= job.window.closes:
        return job.window
    return replace(job.window, target=at)


def _as_it_went(step: Step, progress: Progress) -> Step:
    start = progress.started.get(step.key)
    if start is None:
        return step
    if step.key in progress.ended:
        took = progress.ended[step.key] - start
        return replace(step, ticks=took, least=None, spread=None)
    so_far = progress.now - start
    spread = step.spread
    if spread:
        spent = minutes_of(so_far)
        spread = Spread(max(spread.low, spent), max(spread.likely, spent), max(spread.high, spent))
    least = None if step.least is None else max(step.least, so_far)
    ticks = max(step.ticks, so_far)
    return replace(step, ticks=ticks, least=least and min(least, ticks), spread=spread)


def _told(frozen: Day, used: Day, before: Plan, answer: Answer) -> Replanned:
    """The new plan with what it gives up and what it moves."""
    after = answer.plan or before
    lengths = {step.key: step.ticks for step in used.steps()}
    ends = {job.key: after.starts[job.last.key] + lengths[job.last.key] for job in used.jobs}
    boxes = ((job.key, job.window.closes) for job in frozen.jobs if job.window)
    faults = check_plan(_lengths_of(frozen, used), after)
    moved = {
        key: (before.starts[key], at)
        for key, at in after.starts.items()
        if key not in frozen.pins and before.starts[key] != at
    }
    return Replanned(
        answer=answer,
        day=used,
        missed=tuple(f for f in faults if f.rule in (Rule.MOST, Rule.CAP)),
        late={key: ends[key] - closes for key, closes in boxes if ends[key] > closes},
        cut=_shortened(frozen, used, after.starts),
        moved=moved,
    )


def _without(day: Day, drop: Callable[[int], bool]) -> Day:
    """
    The day without the most times from started steps that `drop` says yes to.

    It is asked with how far each is over, at the soonest the later step can be. [ticks]
    """
    steps = {step.key: step for step in day.steps()}
    soonest = _soonest(day)

    def most(first: str, edge: Edge, then: str, then_edge: Edge, limit: int | None) -> int | None:
        if limit is None or first not in day.pins or then in day.pins:
            return limit
        since = day.pins[first] + (steps[first].ticks if edge == Edge.END else 0)
        at = soonest[then] + (steps[then].ticks if then_edge == Edge.END else 0)
        return None if drop(at - since - limit) else limit

    def links(some: tuple[Link, ...]) -> tuple[Link, ...]:
        return tuple(
            replace(k, most=most(k.before, Edge.END, k.after, Edge.START, k.most)) for k in some
        )

    def caps(some: tuple[Cap, ...]) -> tuple[Cap, ...]:
        return tuple(
            replace(c, most=most(c.first, c.first_edge, c.then, c.then_edge, c.most)) for c in some
        )

    jobs = tuple(replace(job, links=links(job.links), caps=caps(job.caps)) for job in day.jobs)
    return replace(day, jobs=jobs, links=links(day.links), caps=caps(day.caps))


def _soonest(day: Day) -> dict[str, int]:
    """When each step could start if nothing but least gaps held it. [ticks]"""
    keys = [step.key for step in day.steps()]
    low = [day.pins.get(key, day.begins) for key in keys]
    push(low, [arc for arc in arcs_of(day, {k: i for i, k in enumerate(keys)}) if arc[2] >= 0])
    return dict(zip(keys, low, strict=True))


def _cut(day: Day) -> Day:
    """Every step that may be cut short, as short as it may be."""
    jobs = tuple(
        replace(
            job,
            steps=tuple(s if s.least is None else replace(s, ticks=s.least) for s in job.steps),
        )
        for job in day.jobs
    )
    return replace(day, jobs=jobs)


def _late(day: Day) -> Day:
    """Every window open for longer, so that what comes late is planned to come soon."""
    jobs = tuple(
        replace(
            job,
            window=job.window
            and replace(job.window, closes=max(job.window.closes, day.begins) + LATE_BY),
        )
        for job in day.jobs
    )
    return replace(day, jobs=jobs)


def _lengths_of(day: Day, other: Day) -> Day:
    """The day with its steps as long as in another."""
    ticks = {step.key: step.ticks for step in other.steps()}
    jobs = tuple(
        replace(job, steps=tuple(replace(s, ticks=ticks[s.key], least=None) for s in job.steps))
        for job in day.jobs
    )
    return replace(day, jobs=jobs)


def _shortened(left: Day, used: Day, starts: Mapping[str, int]) -> dict[str, int]:
    """The lengths of steps that something starts before the planned end of. [ticks]"""
    planned = {step.key: step.ticks for step in left.steps()}
    room = dict(_rooms(used, starts))
    short = (
        (s.key, max(s.ticks, min(room.get(s.key, s.ticks), planned[s.key]))) for s in used.steps()
    )
    return {key: ticks for key, ticks in short if ticks < planned[key]}


def _rooms(day: Day, starts: Mapping[str, int]) -> Iterator[tuple[str, int]]:
    """How long each step could go on before the next one of its recipe starts. [ticks]"""
    soonest: dict[str, int] = {}
    for link in day.all_links():
        room = starts[link.after] - starts[link.before] - link.least
        soonest[link.before] = min(room, soonest.get(link.before, room))
    yield from soonest.items()
