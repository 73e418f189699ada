"""What is to be written for a table, and what stood there before."""

from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from django.db import models

from teamops.contests.models import Category, Contest, Entry, Trip
from teamops.judging.models import CriterionTotal, Mark, Result, ScoreSheet
from teamops.judging.worked import Worked as Reckoned
from teamops.rules.models import Rulebook


@dataclass(slots=True)
class Rows:
    """
    All that is to be written, in the order it must be.

    `changed` has, by kind, each stored row with the fields that change and what they were.
    """

    trips: list[Trip] = field(default_factory=list)
    contests: list[Contest] = field(default_factory=list)
    categories: dict[str, Category] = field(default_factory=dict)
    entries: list[Entry] = field(default_factory=list)
    sheets: list[ScoreSheet] = field(default_factory=list)
    marks: list[Mark] = field(default_factory=list)
    totals: list[CriterionTotal] = field(default_factory=list)
    results: list[tuple[Result, Reckoned]] = field(default_factory=list)
    changed: dict[type[models.Model], dict[Any, tuple[Any, dict[str, Any]]]] = field(
        default_factory=dict
    )
    frozen: dict[UUID, Rulebook] = field(default_factory=dict)
    differs: list[str] = field(default_factory=list)

    def change(self, row: Any, name: str, value: Any) -> None:
        """Set a field of a stored row, remembering what it was the first time."""
        before = getattr(row, name)
        if before == value:
            return
        kept = self.changed.setdefault(type(row), {}).setdefault(row.pk, (row, {}))[1]
        kept.setdefault(name, before)
        setattr(row, name, value)
