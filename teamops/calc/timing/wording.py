"""Plans, clashes and chances in a cook's words; the page brings the clock that says moments."""

from collections.abc import Callable

from teamops.calc.timing.check import Fault, Rule
from teamops.calc.timing.clash import Clash, Short
from teamops.calc.timing.ladder import Answer, Outcome
from teamops.calc.timing.records import Day, Job, Step
from teamops.calc.timing.relief import Change, Relief
from teamops.calc.timing.replan import Replanned
from teamops.calc.timing.slack import BoxChance, SafeStart, Weakness
from teamops.calc.timing.ticks import minutes_of
from teamops.calc.words import count_of, list_words, opening

Clock = Callable[[int], str]  # a tick as the contest's clock shows it

OUTCOMES = {
    Outcome.PROVED_BEST: "Proved best: no other plan keeps closer to the targets or starts later.",
    Outcome.GOOD: "A good plan that keeps every rule; a better one may exist.",
    Outcome.IMPOSSIBLE: "This day cannot be planned as it stands; that is proved.",
    Outcome.UNDECIDED: "No plan found in time. That does not prove there is none.",
}
RULES = {
    Rule.MISSING: "{0} has no start.",
    Rule.BEGINS: "{0} starts {by} before the day begins.",
    Rule.PIN: "{0} has started, and the plan has it {by} elsewhere.",
    Rule.LEAST: "{1} starts {by} too soon after {0}.",
    Rule.MOST: "{1} starts {by} too long after {0}.",
    Rule.CAP: "From {0} to {1}, {name}: {by} off what is allowed.",
    Rule.WINDOW: "{name} is turned in {by} outside its window, at {at}.",
    Rule.PLACES: "At {at} {name} is {count} over: {all}.",
    Rule.HANDS: "{0} has not the number of people it wants.",
    Rule.SKILL: "{0} is given to {1}, who may not {name}.",
    Rule.COOK: "{0} is for {1}, who is not on it.",
    Rule.SAME_COOK: "{all} should be the same cook's.",
    Rule.TWICE: "{name} has {0} and {1} at once, from {at}, for {by}.",
}


def minutes_words(ticks: float) -> str:
    """A length to the tick: 8 min, 1.5 min, 45 s."""
    minutes = minutes_of(ticks)
    return f"{minutes * 60:.0f} s" if 0 < abs(minutes) < 1 else f"{minutes:.4g} min"


def chance_words(chance: float) -> str:
    """Whole percent, never 0 or 100: nothing here is certain."""
    percent = 100 * chance
    if percent < 1:
        return "less than 1 %"
    return "more than 99 %" if percent >= 99.5 else f"{percent:.0f} %"


def answer_sentence(day: Day, answer: Answer, clock: Clock) -> str:
    """What came of planning, and why not if it is known."""
    if answer.clash:
        return f"{OUTCOMES[answer.outcome]} {clash_sentence(day, answer.clash, clock)}"
    return OUTCOMES[answer.outcome]


def clash_sentence(day: Day, clash: Clash, clock: Clock) -> str:
    """Which boxes ask too much of whom or what, and by how many minutes."""
    names = {job.key: job.name for job in day.jobs}
    boxes = list_words([names[key] for key in clash.jobs])
    if clash.short == Short.TIME:
        return f"{boxes}: {minutes_words(clash.by)} too few before {clock(clash.end)}."
    people = {person.key: person.name for person in day.people}
    who = list_words([people[key] for key in clash.name.split(",") if key in people])
    unit, whose = "place", clash.name
    if clash.short == Short.HANDS:
        unit, whose = "hand", who or _all_people(day)
    return (
        f"{boxes}: between {clock(clash.start)} and {clock(clash.end)} the work is "
        f"{minutes_of(clash.need):g} {unit}-minutes, and {whose} can give "
        f"{minutes_of(clash.have):g}: {minutes_of(clash.by):g} short."
    )


def relief_sentence(day: Day, relief: Relief) -> str:
    """One change that makes it work."""
    jobs = {job.key: job.name for job in day.jobs}
    resources = {resource.key: resource.name for resource in day.resources}
    by, about = minutes_words(relief.ticks), relief.about
    return {
        Change.HANDS: "With another pair of hands it works.",
        Change.PLACE: f"With one more place on {resources.get(about, about)} it works.",
        Change.STAGGER: f"With {jobs.get(about, about)} turned in {by} later it works.",
        Change.SPREAD: f"With turn-ins at least {by} apart it works.",
        Change.SHORTER: f"With {about} {by} shorter in every box it works.",
        Change.EARLIER: f"Beginning {by} earlier, it works.",
    }[relief.change]


def fault_sentence(day: Day, fault: Fault, clock: Clock) -> str:
    """What a plan breaks, where, and by how much."""
    names = {step.key: f"{job.name}'s {step.name}" for job in day.jobs for step in job.steps}
    people = {person.key: person.name for person in day.people}
    resources = {resource.key: resource.name for resource in day.resources}
    about = [names.get(key, people.get(key, key)) for key in fault.about]
    said = RULES[fault.rule].format(
        *about,
        by=minutes_words(fault.by),
        at=clock(fault.at),
        name=people.get(fault.name, resources.get(fault.name, fault.name)),
        count=count_of(fault.by, "place"),
        all=list_words(about),
    )
    return opening(said)


def box_sentence(day: Day, box: BoxChance) -> str:
    """The chance of one box: Box A makes its window 97 times in 100."""
    name = next(job.name for job in day.jobs if job.key == box.job)
    said = f"{name} makes its window: {chance_words(box.inside)}"
    parts = [(box.late, "late"), (box.early, "early")]
    off = [f"{chance_words(share)} {word}" for share, word in parts if share >= 0.005]
    return f"{said} ({list_words(off)})." if off else f"{said}."


def safe_sentence(day: Day, safe: SafeStart, clock: Clock) -> str:
    """The last safe start of a step: it is rounded down to the tick."""
    job, step = _owner(day, safe.step)
    at = clock(int(safe.safe // 1))
    if safe.slack < 0:
        return f"{job.name}: {step.name} should start by {at}, and is planned later."
    return f"{job.name}: start {step.name} by {at}; {minutes_words(int(safe.slack))} of slack."


def weakness_sentence(day: Day, weakness: Weakness) -> str:
    """What a slow step does to the day."""
    job, step = _owner(day, weakness.step)
    chance = chance_words(weakness.all_inside)
    return f"If {step.name} of {job.name} goes slowly, every box in its window: {chance}."


def replan_sentence(day: Day, new: Replanned, clock: Clock) -> str:
    """What to do now, in one sentence."""
    if new.answer.plan is None:
        return "No plan is left: turn in what you have, and keep the rules on time and heat."
    starts, parts = new.answer.plan.starts, []
    for job in day.jobs:
        said = [
            f"{step.name} {minutes_words(new.cut[step.key])}, not {minutes_words(step.ticks)}"
            for step in job.steps
            if step.key in new.cut
        ]
        moved = [step for step in job.steps if step.key in new.moved]
        if moved:
            first = min(moved, key=lambda step: starts[step.key])
            said.insert(0, f"{first.name} at {clock(starts[first.key])}")
        if job.key in new.late:
            said.append(
                f"{minutes_words(new.late[job.key])} past its window, turn in what you have"
            )
        if said:
            parts.append(f"{job.name}: {', '.join(said)}")
    return f"{'; '.join(parts)}." if parts else "Nothing moves."


def _owner(day: Day, key: str) -> tuple[Job, Step]:
    return next((job, step) for job in day.jobs for step in job.steps if step.key == key)


def _all_people(day: Day) -> str:
    names = [person.name for person in day.people]
    return list_words(names) if len(names) < 4 else f"the {len(names)} of you"
