"""Which lines of a list are ours: by number, by blind number, by team and by cook."""

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from teamops.calc.reading.records import FieldRow

PARTS = re.compile(r"\s*[(/|,;–—]\s*|\s+-\s+|\)")
SHORTEST = 3  # a name of two letters is in too many others


@dataclass(frozen=True, slots=True)
class Ours:
    """How a box of ours may be named on a list; what is not known is empty."""

    team: str = ""
    number: str = ""
    blind: str = ""
    cook: str = ""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A line that may be ours, by what, and how well it fits; `doubt` says what speaks against.

    Only a candidate without doubt should be taken by itself.
    """

    at: int
    by: tuple[str, ...]
    fit: int
    doubt: str = ""


def find_ours(rows: Sequence[FieldRow], ours: Ours) -> tuple[Candidate, ...]:
    """The lines that may be this box, best first; several equally good ones stay for a person."""
    found = [one for row in rows if (one := _candidate(row, ours))]
    return tuple(sorted(found, key=lambda one: (bool(one.doubt), -one.fit, one.at)))


def _candidate(row: FieldRow, ours: Ours) -> Candidate | None:
    number, theirs = _number(row.number), row.name or row.number
    by, fit = [], 0
    team = _named(ours.team, row.name, row.cook)
    cook = _named(ours.cook, row.name, row.cook)
    for word, weight, hit in (
        ("team number", 4, number and number == _number(ours.number)),
        ("blind number", 4, number and number == _number(ours.blind)),
        ("team name", 6, team),
        ("cook", 3, cook),
    ):
        if hit:
            by.append(word)
            fit += weight
    if not by:
        return None
    doubt = ""
    if not team and not cook and row.name:
        doubt = f"It has our number, and the name {theirs}."
    elif number and team and not {"team number", "blind number"} & set(by):
        known = ours.number or ours.blind
        if known:
            return Candidate(row.at, tuple(by), fit - 1)
    return Candidate(row.at, tuple(by), fit, doubt)


def _number(text: str) -> str:
    """A number without its #, its noughts in front and its case."""
    return re.sub(r"\W", "", text.casefold()).lstrip("0")


@lru_cache(maxsize=8_192)
def plain_name(text: str) -> str:
    """A name without case, accents, marks and doubled spaces; & is and."""
    text = unicodedata.normalize("NFKD", text.casefold().replace("&", " and "))
    text = "".join(letter for letter in text if not unicodedata.combining(letter))
    return " ".join(re.sub(r"[^\w\s]", "", text.replace("-", " ")).split())


def _named(own: str, *cells: str) -> bool:
    """Whether a cell is this name, or has it as one of its parts: team / cook, team (cook)."""
    name = plain_name(own)
    if len(name) < SHORTEST:
        return bool(name) and name in map(plain_name, cells)
    for cell in filter(None, cells):
        if name in (plain_name(part) for part in [cell, *PARTS.split(cell)]):
            return True
        if f" {name} " in f" {plain_name(cell)} " and " " in name:
            return True
    return False
