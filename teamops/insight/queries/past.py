"""The contests that are over, as small tickets, and what their marks say in small."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.utils.html import escape
from django.utils.safestring import SafeString

from teamops.contests.models import Contest, Entry
from teamops.insight.drawings import write_stamps
from teamops.insight.links import Links
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.days import Boxes, ContestDay, known_boxes
from teamops.insight.queries.ledger import CategoryLedger, ledger_of
from teamops.insight.queries.scores import FACTS, Facts, PlainResult, plain_result
from teamops.judging.models import CriterionResult, Result
from teamops.rules.models import Criterion
from teamops.teams.models import Team

SHOWN = 8
CONTEST = ("pk", "name", "held_on", "state", "kind")
BOOK = (
    "category_id", "category__ancillary", "rulebook_id", "rulebook__name",
    "result__sheets", "result__lost_to_rounding", "result__docked",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class PastTicket:
    """A contest that is over, a line a box; `state` is empty unless it was called off."""

    name: str
    held_on: date
    state: str
    url: str
    lines: tuple[SafeString, ...]


@dataclass(frozen=True, slots=True)
class Past:
    """The latest contests: those of the latest season as tickets, all of them in the ledger."""

    year: int | None
    tickets: tuple[PastTicket, ...]
    more: bool
    ledger: CategoryLedger | None


@dataclass(frozen=True, slots=True)
class _Box:
    """An entry's facts, and by what it was judged."""

    facts: Facts
    category_id: UUID
    ancillary: bool
    rulebook_id: UUID
    rulebook: str
    sheets: int | None
    rounding: Decimal | None
    docked: Decimal | None

    @property
    def book(self) -> tuple[UUID, UUID]:
        """What may be held against each other: a category under one rulebook."""
        return self.category_id, self.rulebook_id

    @property
    def counts(self) -> bool:
        """Whether it speaks of how we cook for ourselves."""
        facts = self.facts
        return facts.basis == Result.Basis.MARKS and not facts.disqualified and not facts.cooked_for


def past_contests(team: Team, today: date, links: Links) -> Past:
    """The latest eight contests that are over; four queries at most, none of them grows."""
    rows = list(Contest.objects.for_team(team).past(today).values(*CONTEST)[: SHOWN + 1])
    if not rows:
        return Past(None, (), more=False, ledger=None)
    contests = rows[:SHOWN]
    boxes = _boxes([contest["pk"] for contest in contests])
    by_contest: dict[UUID, list[_Box]] = {contest["pk"]: [] for contest in contests}
    for box in boxes:
        by_contest[box.facts.contest_id].append(box)
    year = contests[0]["held_on"].year
    tickets = tuple(
        _ticket(contest, by_contest[contest["pk"]], links)
        for contest in contests
        if contest["held_on"].year == year
    )
    more = len(rows) > SHOWN and rows[SHOWN]["held_on"].year == year
    return Past(year, tickets, more=more, ledger=_ledger(contests, by_contest))


def _boxes(contests: Sequence[UUID]) -> list[_Box]:
    entries = Entry.objects.filter(contest__in=contests).values_list(*FACTS, *BOOK)
    return [_Box(Facts(*row[: len(FACTS)]), *row[len(FACTS) :]) for row in entries]


def _ticket(contest: dict[str, Any], boxes: Sequence[_Box], links: Links) -> PastTicket:
    state = Contest.State(contest["state"])
    return PastTicket(
        name=contest["name"],
        held_on=contest["held_on"],
        state=state.label if state in Contest.OFF else "",
        url=links.to("contests:show_contest", contest["pk"]),
        lines=tuple([_line(plain_result(box.facts, links)) for box in boxes]),
    )


def _line(result: PlainResult) -> SafeString:
    """What one box got, leading to where its points went, or to where its papers are typed."""
    got = ""
    if result.papers:
        got = f': <a href="{result.url}">{result.words}</a>'
    elif not result.disqualified:
        got = f': <a href="{result.sheets_url}">type its papers</a>'
    category, stamps = escape(result.category), write_stamps(result.stamps)
    return SafeString(f'<span dir="auto">{category}</span>{got}{stamps}')


def _ledger(
    contests: Sequence[dict[str, Any]], by_contest: dict[UUID, list[_Box]]
) -> CategoryLedger | None:
    """The ledger in small: the main category judged last, under its rulebook; two queries.

    A full box is taken from the fullest table of these contests.
    """
    judged = [c for c in contests if c["kind"] == Contest.Kind.JUDGED]
    counted = [box for c in judged for box in by_contest[c["pk"]] if box.counts]
    if not counted:
        return None
    main = next((box for box in counted if not box.ancillary), counted[0])
    own = [box for box in counted if box.book == main.book]
    criteria = list(Criterion.objects.filter(rulebook=main.rulebook_id).order_by("order", "pk"))
    lines = CriterionResult.objects.filter(result__in=[box.facts.pk for box in own])
    known = known_boxes(lines, [criterion.pk for criterion in criteria])
    days = []
    for contest in reversed(judged):
        if told := known.get(str(contest["pk"])):
            mine = [box for box in own if box.facts.contest_id == contest["pk"]]
            days.append(_day(contest, mine, told))
    if not days:
        return None
    full = [max(column) for column in zip(*(day.known.most for day in days), strict=True)]
    selection = Selection(main.category_id, main.facts.category, main.rulebook_id, main.rulebook)
    return ledger_of(selection, criteria, days, full)


def _day(contest: dict[str, Any], boxes: Sequence[_Box], told: Boxes) -> ContestDay:
    """A contest as the ledger in small reads it: it leads nowhere."""
    return ContestDay(
        contest_id="",
        name=contest["name"],
        held_on=contest["held_on"],
        boxes=len(boxes),
        first_box="",
        known=told,
        sheets=sum(box.sheets or 0 for box in boxes),
        rounding=float(sum(box.rounding or 0 for box in boxes)) / told.number,
        docked=float(sum(box.docked or 0 for box in boxes)) / told.number,
    )
