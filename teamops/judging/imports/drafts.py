"""What a table comes to before anything is written: contests, boxes and sheets as drafts."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

from teamops.contests.models import Contest, Entry
from teamops.judging.imports.known import Stored
from teamops.judging.paper import PaperMark
from teamops.rules.models import Criterion, Rulebook
from teamops.teams.models import User


@dataclass(slots=True)
class SheetDraft:
    """
    One judge's paper as the table has it; marks by criterion id, with the row each came from.

    `stored` is the sheet it is known again by; `does` is "new", "same" or "changes".
    """

    round: str = ""
    panel: str = ""
    table: str = ""
    seat: str = ""
    given_total: Decimal | None = None
    comment: str = ""
    marks: dict[int, PaperMark] = field(default_factory=dict)
    rows: dict[int, int] = field(default_factory=dict)  # criterion id to the row
    numbers: list[int] = field(default_factory=list)  # all its rows
    stored: Stored | None = None
    does: str = "new"

    @property
    def key(self) -> tuple[str, str, str, str]:
        fold = str.casefold
        return fold(self.round), fold(self.panel), fold(self.table), fold(self.seat)

    @property
    def is_empty(self) -> bool:
        marked = any(not mark.is_blank for mark in self.marks.values())
        return not (marked or self.given_total is not None or self.comment)


@dataclass(slots=True)
class EntryDraft:
    """One box: found or to be made; `values` are what the table says of it, by column."""

    contest: "ContestDraft"
    category: str
    stored: Entry | None = None
    rulebook: Rulebook | None = None
    blind_number: str = ""
    team_number: str = ""
    cook: User | None = None
    guest_cook: str = ""
    values: dict[str, Any] = field(default_factory=dict)
    rows: dict[str, int] = field(default_factory=dict)  # the row each value came from
    sheets: list[SheetDraft] = field(default_factory=list)
    totals: dict[int, Decimal] = field(default_factory=dict)
    total_rows: dict[int, int] = field(default_factory=dict)
    our_total: Decimal | None = None
    numbers: list[int] = field(default_factory=list)

    @property
    def criteria(self) -> list[Criterion]:
        return list(self.rulebook.criteria.all()) if self.rulebook else []


@dataclass(slots=True)
class ContestDraft:
    """One contest: found or to be made."""

    name: str
    held_on: date
    stored: Contest | None = None
    values: dict[str, Any] = field(default_factory=dict)
    rows: dict[str, int] = field(default_factory=dict)
    entries: list[EntryDraft] = field(default_factory=list)
    numbers: list[int] = field(default_factory=list)


@dataclass(slots=True)
class Drafts:
    """All that a table comes to."""

    contests: list[ContestDraft] = field(default_factory=list)

    def entries(self) -> Iterator[EntryDraft]:
        for contest in self.contests:
            yield from contest.entries

    def sheets(self) -> Iterator[tuple[EntryDraft, SheetDraft]]:
        for entry in self.entries():
            for sheet in entry.sheets:
                yield entry, sheet
