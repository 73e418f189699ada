"""A rulebook on its way: everything exactly as typed, rows moved about, nothing lost."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import zip_longest
from typing import Any, Self

from django.http import QueryDict
from django.utils.text import slugify

from teamops.calc.words import plain
from teamops.rules.files import FIELDS
from teamops.rules.models import Criterion, Rulebook

COLUMNS = ("key", "name", "weight", "least", "most", "step", "panel")
PANEL_COLUMNS = ("name", "expected", "least")
NEW = "new-"  # a row's key until it is kept and named
MOST_ROWS = 30
BLANK_ROWS = 4
BLANK_STEPS = 2
Row = dict[str, str]


@dataclass(slots=True)
class Draft:
    """The page's boxes: the rulebook's fields, its rows, the tie's steps, the example's marks."""

    fields: Row = field(default_factory=dict)
    criteria: list[Row] = field(default_factory=list)
    panels: list[Row] = field(default_factory=list)
    steps: list[str] = field(default_factory=list)
    marks: Row = field(default_factory=dict)

    @classmethod
    def of(cls, rulebook: Rulebook, criteria: Sequence[Criterion]) -> Self:
        """What a rulebook says, as it would be typed."""
        names = [name for name in FIELDS if name not in ("tie_break", "panels")]
        draft = cls(
            fields={name: typed(getattr(rulebook, name)) for name in names},
            criteria=[{name: typed(getattr(row, name)) for name in COLUMNS} for row in criteria],
            panels=[
                {name: str(panel[name]) for name in PANEL_COLUMNS} for panel in rulebook.panels
            ],
            steps=list(rulebook.tie_break),
        )
        if not criteria:
            draft.criteria = [draft.new_row() for _ in range(BLANK_ROWS)]
            for number, row in enumerate(draft.criteria, start=1):
                row["key"] = f"{NEW}{number}"
        return draft

    @classmethod
    def sent(cls, data: QueryDict) -> Self:
        """What the page sent."""
        draft = cls(
            fields={n: str(data[n]) for n in data if n in FIELDS or n == "exception_why"},
            criteria=_rows(data, "c", COLUMNS),
            panels=_rows(data, "p", PANEL_COLUMNS),
            steps=[step for step in data.getlist("t") if step][:MOST_ROWS],
            marks={n: str(data[n]) for n in data if n.startswith(("x", "s-"))},
        )
        used = {row["key"] for row in draft.criteria}
        for row in draft.criteria:
            if not row["key"]:
                row["key"] = _unused(used)
                used.add(row["key"])
        return draft

    def new_row(self) -> Row:
        """A criterion nobody has typed in yet; its scale is the last one's."""
        used = {row["key"] for row in self.criteria}
        last = self.criteria[-1] if self.criteria else {"least": "1", "most": "10", "step": "0.5"}
        scale = {name: last.get(name, "") for name in ("least", "most", "step", "panel")}
        return {"key": _unused(used), "name": "", "weight": "1"} | {"panel": ""} | scale

    def press(self, press: str) -> str:
        """Do what a row's button says: “c-up-2”, “p-add”; returns the box to go on in.

        A press that names no row changes nothing.
        """
        kind, _, rest = press.partition("-")
        what, _, place = rest.partition("-")
        rows = {"c": self.criteria, "p": self.panels}.get(kind)
        if rows is None:
            return ""
        if what == "add" and len(rows) < MOST_ROWS:
            new = self.new_row() if kind == "c" else {"name": "", "expected": "", "least": "1"}
            rows.append(new)
            return f"{kind}{len(rows) - 1}-{kind}-name"
        at = int(place) if place.isascii() and place.isdigit() else len(rows)
        if at >= len(rows):
            return ""
        if what == "remove":
            gone = rows.pop(at)
            if kind == "c":
                self.steps = [step for step in self.steps if gone["key"] not in step.split(":")]
            return f"{kind}{min(at, len(rows) - 1)}-{kind}-name" if rows else ""
        to = at + {"up": -1, "down": 1}.get(what, 0)
        if 0 <= to < len(rows):
            rows[at], rows[to] = rows[to], rows[at]
            at = to
        return f"{kind}{at}-{kind}-name"

    @property
    def named(self) -> list[Row]:
        """The criteria that someone has typed a name for."""
        return [row for row in self.criteria if row["name"].strip()]

    @property
    def named_panels(self) -> list[Row]:
        return [row for row in self.panels if row["name"].strip() or row["expected"].strip()]

    def final_keys(self) -> dict[str, str]:
        """Each named row's key as it is kept: new ones get theirs from their name."""
        keys = {row["key"]: row["key"] for row in self.named if not row["key"].startswith(NEW)}
        for number, row in enumerate(self.named, start=1):
            if row["key"] in keys:
                continue
            wanted = slugify(row["name"])[:34].strip("-_") or f"criterion-{number}"
            key, tail = wanted, 2
            while key in keys.values():
                key, tail = f"{wanted}-{tail}", tail + 1
            keys[row["key"]] = key
        return keys

    def final_steps(self) -> list[str]:
        """The tie's steps with the keys as they are kept."""
        keys = self.final_keys()
        return [":".join(keys.get(part, part) for part in step.split(":")) for step in self.steps]


def typed(value: Any) -> str:
    """A stored value as one would type it."""
    if value is None:
        return ""
    return plain(value) if isinstance(value, Decimal) else str(value)


def _rows(data: QueryDict, prefix: str, columns: Sequence[str]) -> list[Row]:
    lists = [data.getlist(f"{prefix}-{name}")[:MOST_ROWS] for name in columns]
    return [dict(zip(columns, values, strict=True)) for values in zip_longest(*lists, fillvalue="")]


def _unused(used: set[str]) -> str:
    number = 1
    while f"{NEW}{number}" in used:
        number += 1
    return f"{NEW}{number}"
