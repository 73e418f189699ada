"""What was made of a table: its heading rows and what each column says; goes into JSON and back."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Self

from teamops.judging.imports.fields import MARK_OF, OPEN, SKIP, TOTAL_OF

DAY_ORDERS = ("mdy", "dmy", "ymd")
SURE, LIKELY, GUESS = "sure", "likely", "guess"


@dataclass(frozen=True, slots=True)
class Column:
    """
    One column: its head as printed, what it says and how sure that is.

    `judge` is the seat whose marks stand in it, where judges go across; `unit` of a temperature is
    "f", "c" or "" for the team's own.
    """

    name: str
    code: str = OPEN
    judge: str = ""
    unit: str = ""
    sure: str = GUESS

    @property
    def criterion(self) -> str:
        """The criterion whose marks or total stand in it, by plain name."""
        for start in (MARK_OF, TOTAL_OF):
            if self.code.startswith(start):
                return self.code.removeprefix(start)
        return ""

    @property
    def is_mark(self) -> bool:
        return self.code == "mark" or self.code.startswith(MARK_OF)

    @property
    def is_total(self) -> bool:
        """Whether it is a total for a criterion."""
        return self.code == "criterion_total" or self.code.startswith(TOTAL_OF)


@dataclass(frozen=True, slots=True)
class Columns:
    """
    How to read a table. `heading` are its heading rows, 1 first, none where it has none.

    `day_order` is "mdy", "dmy" or "ymd"; `decimal` the sign before decimals, "." or ",";
    `answers` what was chosen where the plan asked, by the question's key. `doubts` names what the
    cells could not settle ("day_order").
    """

    columns: tuple[Column, ...]
    heading: tuple[int, ...] = ()
    day_order: str = "mdy"
    decimal: str = "."
    answers: Mapping[str, str] = field(default_factory=dict)
    doubts: tuple[str, ...] = ()

    @classmethod
    def of(cls, stored: Mapping[str, Any]) -> Self:
        """What `as_dict` gave; what is missing or odd in it falls back to what says nothing."""
        columns = tuple(
            Column(
                name=str(one.get("name", "")),
                code=str(one.get("code", OPEN)),
                judge=str(one.get("judge", ""))[:10],
                unit=one.get("unit", "") if one.get("unit") in ("c", "f") else "",
                sure=str(one.get("sure", GUESS)),
            )
            for one in stored.get("columns", [])
        )
        order = stored.get("day_order", "mdy")
        return cls(
            columns=columns,
            heading=tuple(int(row) for row in stored.get("heading", [])),
            day_order=order if order in DAY_ORDERS else "mdy",
            decimal="," if stored.get("decimal") == "," else ".",
            answers={str(k): str(v) for k, v in dict(stored.get("answers", {})).items()},
            doubts=tuple(map(str, stored.get("doubts", []))),
        )

    def as_dict(self) -> dict[str, Any]:
        return {
            "columns": [
                {
                    "name": one.name,
                    "code": one.code,
                    "judge": one.judge,
                    "unit": one.unit,
                    "sure": one.sure,
                }
                for one in self.columns
            ],
            "heading": list(self.heading),
            "day_order": self.day_order,
            "decimal": self.decimal,
            "answers": dict(self.answers),
            "doubts": list(self.doubts),
        }

    def with_codes(self, codes: Mapping[int, str]) -> "Columns":
        """The same with other meanings for some columns (0 first), now sure."""
        columns = tuple(
            replace(one, code=codes[index], sure=SURE) if index in codes else one
            for index, one in enumerate(self.columns)
        )
        return replace(self, columns=columns)

    def with_order(self, day_order: str) -> "Columns":
        return replace(self, day_order=day_order)

    def with_answers(self, answers: Mapping[str, str]) -> "Columns":
        return replace(self, answers={**self.answers, **answers})

    def where(self, code: str) -> int | None:
        """The first column that says this."""
        return next((i for i, one in enumerate(self.columns) if one.code == code), None)

    def has(self, code: str) -> bool:
        return self.where(code) is not None

    @property
    def layout(self) -> str:
        """How the marks stand: "wide", "long", "across", or "results" where there are none."""
        marks = [one for one in self.columns if one.is_mark]
        if any(one.judge for one in self.columns if one.is_mark or one.code == "judge_total"):
            return "across"
        if any(one.code == "mark" for one in marks):
            return "long"
        return "wide" if marks or self.has("judge_total") else "results"

    @property
    def layout_words(self) -> str:
        """The same in words."""
        return {
            "wide": "one judge’s sheet in each row",
            "long": "one mark in each row",
            "across": "the judges side by side",
            "results": "one result in each row",
        }[self.layout]

    @property
    def left_out(self) -> tuple[str, ...]:
        """The heads of the columns that are left out."""
        return tuple(one.name for one in self.columns if one.code == SKIP and one.name)
