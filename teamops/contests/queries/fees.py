"""Which entry fee holds on a day."""

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from teamops.contests.models import Contest
from teamops.contests.queries.words import short_day

DAY = timedelta(days=1)
WALK_UP = "walk-up fee"


@dataclass(frozen=True, slots=True)
class FeeNow:
    """The entry fee that holds on a day; `amount` is None where nobody knows. [team's currency]"""

    amount: Decimal | None
    words: str


@dataclass(frozen=True, slots=True)
class FeeStep:
    """A fee from a day on; the first has no day, the regular one no name."""

    since: date | None
    name: str
    amount: Decimal | None

    @property
    def priced(self) -> str:
        amount = "an amount not known yet" if self.amount is None else f"{self.amount:.2f}"
        return f"{self.name} {amount}".strip()


def fee_now(contest: Contest, on: date) -> FeeNow:
    """Which fee holds on a day, and until when: "early fee 120.00 until 3 May, then 150.00".

    The early fee holds on its last day still, the late fee from its first, the walk-up fee on the
    contest's day. An early or late fee without its day holds on none. Asks the database nothing.
    """
    steps = fee_steps(contest)
    number = max(n for n, step in enumerate(steps) if step.since is None or step.since <= on)
    step = steps[number]
    if step.amount is None and len(steps) == 1:
        return FeeNow(None, "")
    if number + 1 < len(steps):
        after = steps[number + 1]
        last = short_day((after.since or on) - DAY)
        return FeeNow(step.amount, f"{step.priced} until {last}, then {after.priced}")
    if step.since and step.name and on > step.since:
        return FeeNow(step.amount, f"{step.priced} since {short_day(step.since)}")
    return FeeNow(step.amount, step.priced)


def fee_steps(contest: Contest) -> list[FeeStep]:
    """The fees in the order of their days; at least one, whose amount may not be known."""
    steps: list[FeeStep] = []
    since, late_from = None, contest.late_from_on
    if contest.early_fee is not None and contest.early_until_on:
        steps.append(FeeStep(None, "early fee", contest.early_fee))
        since = contest.early_until_on + DAY
    late = contest.late_fee is not None and late_from
    if not (late and late_from and since and late_from <= since):  # else late follows early at once
        steps.append(FeeStep(since, "", contest.fee))
    if late and late_from:
        starts = max(late_from, since) if since else late_from
        steps.append(FeeStep(starts, "late fee", contest.late_fee))
    day = contest.held_on
    if contest.walk_up_fee is not None and all(not s.since or s.since < day for s in steps):
        steps.append(FeeStep(day, WALK_UP, contest.walk_up_fee))
    return steps
