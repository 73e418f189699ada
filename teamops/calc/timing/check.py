"""Is this a plan? Checked from the day's own records, without a word from what made the plan."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from teamops.calc.timing.records import Day, Edge, Plan, Step


class Rule(StrEnum):
    """What a plan can break."""

    MISSING = "missing"  # a step without a start
    BEGINS = "begins"  # before the day begins
    PIN = "pin"  # not where it has happened
    LEAST = "least"
    MOST = "most"
    CAP = "cap"
    WINDOW = "window"
    PLACES = "places"
    HANDS = "hands"  # too few or too many people on a step
    SKILL = "skill"
    COOK = "cook"  # not the named one
    SAME_COOK = "same_cook"
    TWICE = "twice"  # one person in two places, or in a meeting


@dataclass(frozen=True, slots=True)
class Fault:
    """One broken rule: the steps (or the person, the resource) it is about, and by how much.

    `by` is ticks, except for PLACES (places) and HANDS (people). `at` is when. [ticks]
    """

    rule: Rule
    about: tuple[str, ...]
    by: int = 0
    at: int = 0
    name: str = ""


def check_plan(day: Day, plan: Plan) -> tuple[Fault, ...]:
    """Everything that is wrong with a plan; nothing, if it holds."""
    missing = [step.key for step in day.steps() if step.key not in plan.starts]
    if missing:
        return tuple(Fault(Rule.MISSING, (key,)) for key in missing)
    checks = (_moments, _gaps, _caps, _windows, _places, _crews, _people)
    return tuple(fault for check in checks for fault in check(day, plan))


def _moments(day: Day, plan: Plan) -> Iterator[Fault]:
    for step in day.steps():
        at = plan.starts[step.key]
        if step.key in day.pins:
            if at != day.pins[step.key]:
                yield Fault(Rule.PIN, (step.key,), abs(at - day.pins[step.key]), at)
        elif at < day.begins:
            yield Fault(Rule.BEGINS, (step.key,), day.begins - at, at)


def _gaps(day: Day, plan: Plan) -> Iterator[Fault]:
    ends = {step.key: plan.starts[step.key] + step.ticks for step in day.steps()}
    for link in day.all_links():
        if {link.before, link.after} <= day.pins.keys():
            continue  # it has happened
        gap = plan.starts[link.after] - ends[link.before]
        pair = (link.before, link.after)
        if gap < link.least:
            yield Fault(Rule.LEAST, pair, link.least - gap, plan.starts[link.after])
        if link.most is not None and gap > link.most:
            yield Fault(Rule.MOST, pair, gap - link.most, plan.starts[link.after])


def _caps(day: Day, plan: Plan) -> Iterator[Fault]:
    steps = {step.key: step for step in day.steps()}

    def moment(key: str, edge: Edge) -> int:
        return plan.starts[key] + (steps[key].ticks if edge == Edge.END else 0)

    for cap in day.all_caps():
        if {cap.first, cap.then} <= day.pins.keys():
            continue
        then = moment(cap.then, cap.then_edge)
        took = then - moment(cap.first, cap.first_edge)
        if cap.most is not None and took > cap.most:
            yield Fault(Rule.CAP, (cap.first, cap.then), took - cap.most, then, cap.name)
        if cap.least is not None and took < cap.least:
            yield Fault(Rule.CAP, (cap.first, cap.then), cap.least - took, then, cap.name)


def _windows(day: Day, plan: Plan) -> Iterator[Fault]:
    for job in day.jobs:
        if job.window is None or job.last.key in day.pins:
            continue
        at = plan.starts[job.last.key] + job.last.ticks
        out = max(job.window.opens - at, at - job.window.closes)
        if out > 0:
            yield Fault(Rule.WINDOW, (job.last.key,), out, at, job.name)


def _places(day: Day, plan: Plan) -> Iterator[Fault]:
    for resource in day.resources:
        users = [
            (plan.starts[step.key], step, amount)
            for step in day.steps()
            for key, amount in step.uses
            if key == resource.key
        ]
        for tick in sorted({start for start, _, _ in users}):
            busy = [(s, n) for start, s, n in users if start <= tick < start + s.ticks]
            over = sum(n for _, n in busy) - resource.capacity
            if over > 0 and not all(step.key in day.pins for step, _ in busy):
                about = tuple(step.key for step, _ in busy)
                yield Fault(Rule.PLACES, about, over, tick, resource.key)


def _crews(day: Day, plan: Plan) -> Iterator[Fault]:
    known = {person.key: person for person in day.people}
    for step in day.steps():
        crew = plan.crew.get(step.key, ())
        off = abs(step.hands - len(set(crew))) + len(crew) - len(set(crew))
        if off or not set(crew) <= known.keys():
            yield Fault(Rule.HANDS, (step.key,), off, plan.starts[step.key])
        for key in crew:
            if key in known and not known[key].may(step):
                yield Fault(Rule.SKILL, (step.key, key), name=step.skill)
        if step.hands and step.cook and step.cook not in crew:
            yield Fault(Rule.COOK, (step.key, step.cook))
    for label in sorted({step.same_cook for step in day.steps() if step.same_cook}):
        group = [step for step in day.steps() if step.same_cook == label and step.hands]
        if len({frozenset(plan.crew.get(step.key, ())) for step in group}) > 1:
            yield Fault(Rule.SAME_COOK, tuple(step.key for step in group), name=label)


def _people(day: Day, plan: Plan) -> Iterator[Fault]:
    for person in day.people:
        mine: list[tuple[int, int, str, bool]] = [
            (plan.starts[step.key], plan.starts[step.key] + step.ticks, step.key, False)
            for step in _theirs(day, plan, person.key)
        ]
        mine += [
            (block.start, block.end, block.name, True)
            for block in day.blocks
            if block.people is None or person.key in block.people
        ]
        mine.sort()
        for i, (start, end, key, meeting) in enumerate(mine):
            for start_2, end_2, key_2, meeting_2 in mine[i + 1 :]:
                both = min(end, end_2) - max(start, start_2)
                happened = all(k in day.pins or m for k, m in ((key, meeting), (key_2, meeting_2)))
                if both > 0 and not (meeting and meeting_2) and not happened:
                    yield Fault(Rule.TWICE, (key, key_2), both, start_2, person.key)


def _theirs(day: Day, plan: Plan, person: str) -> list[Step]:
    """The steps a person is on that take time."""
    return [s for s in day.steps() if s.ticks and person in plan.crew.get(s.key, ())]
