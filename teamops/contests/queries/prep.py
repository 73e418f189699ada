"""The day's steps, counted back from the turn-in."""

from dataclasses import dataclass, field, replace
from datetime import timedelta

from teamops.calc.units import show_temperature
from teamops.contests.models import Contest, Entry, Task
from teamops.contests.queries.windows import offset_sentence
from teamops.contests.queries.words import clock, whose, window


@dataclass(frozen=True, slots=True)
class PrepRow:
    """
    One step of the day: when, what, who, how hot, and what to mind.

    One that is `shared` stands on every box, and one tick does for all.
    """

    task: Task
    minutes: int
    at: str
    what: str
    person: str
    target: str
    caution: str
    done: bool
    shared: bool = False


@dataclass(frozen=True, slots=True)
class PrepBox:
    """The steps of one box in the order of the clock, counted back from when it closes."""

    title: str
    window: str
    rows: tuple[PrepRow, ...]


@dataclass(frozen=True, slots=True)
class PrepSheet:
    """What the prep page and the prep sheet both show.

    `clocks` says by whose clock its times are, where the two clocks were compared.
    """

    contest: Contest
    boxes: tuple[PrepBox, ...]
    cautions: tuple[str, ...] = field(default=())
    clocks: str = ""


def prep_sheet(contest: Contest) -> PrepSheet:
    """The day's steps box by box; a step for every box stands on each. Two queries."""
    steps = list(contest.tasks.steps().select_related("person", "entry"))
    entries = list(contest.entries.select_related("category", "cook_of_record"))
    for entry in entries:
        entry.contest = contest
    boxes = [
        _prep_box(
            entry,
            [step for step in steps if step.entry_id in (None, entry.pk)],
            alone=len(entries) == 1,
        )
        for entry in entries
    ]
    if not entries and steps:
        rows = tuple(_prep_row(step, contest, None) for step in steps)
        boxes = [PrepBox("Every box", "", rows)]
    cautions = dict.fromkeys(step.caution for step in steps if step.caution)
    return PrepSheet(contest, tuple(boxes), tuple(cautions), _clocks(contest))


def _clocks(contest: Contest) -> str:
    offset = contest.clock_offset_seconds
    return "" if offset is None else f"Times are by the official clock. {offset_sentence(offset)}"


def _prep_box(entry: Entry, steps: list[Task], *, alone: bool) -> PrepBox:
    cook = f", {whose(entry)}" if whose(entry) else ""
    rows = tuple(
        replace(_prep_row(step, entry.contest, entry), shared=step.entry_id is None and not alone)
        for step in steps
    )
    return PrepBox(f"{entry.category}{cook}", window(entry), rows)


def _prep_row(step: Task, contest: Contest, entry: Entry | None) -> PrepRow:
    """A step with its clock time: counted back from the window's opening, the safe end of it."""
    turn_in = entry and (entry.window_opens_at or entry.window_closes_at)
    minutes = step.minutes_before or 0
    at = clock(turn_in - timedelta(minutes=minutes), contest) if turn_in else ""
    target = ""
    if step.target_c is not None:
        target = show_temperature(step.target_c, contest.team.units)
    return PrepRow(
        task=step,
        minutes=minutes,
        at=at,
        what=step.title,
        person=str(step.person or ""),
        target=target,
        caution=step.caution,
        done=step.done_at is not None,
    )
