"""Titles above blocks of rows that name the contest, where no column does."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from teamops.judging.imports.days import Unread, day_in

DAYS = (
    re.compile(r"\b\d{4}[-./]\d{1,2}[-./]\d{1,2}\b"),
    re.compile(r"\b\d{1,2}\s?[-./]\s?\d{1,2}\s?[-./]\s?(?:\d{4}|\d{2})\b"),
    re.compile(
        r"\b(?:\d{1,2}(?:st|nd|rd|th)?\.?\s+)?(?:jan|feb|mar|mär|apr|may|mai|jun|jul|aug|sep|oct|"
        r"okt|nov|dec|dez)[^\W\d]*\.?\s+(?:\d{1,2}(?:st|nd|rd|th)?,?\s+)?\d{4}\b",
        re.IGNORECASE,
    ),
)
LONGEST = 160  # a title; what is longer is a remark


@dataclass(frozen=True, slots=True)
class Title:
    """What a title says of the rows below it: a contest's name, its day as written, or both."""

    name: str = ""
    day: str = ""


class Sections:
    """
    Reads titles as they come; `of` gives what holds for a row of entries.

    A title is one only with a day in it, or with a name that `is_known`.
    """

    def __init__(self, day_order: str, is_known: Callable[[str], bool]) -> None:
        self.day_order, self.is_known = day_order, is_known
        self.waiting: list[Title] = []
        self.current = Title()

    def hear(self, cells: Sequence[str]) -> bool:
        """Take in a row of words; whether it says which contest follows."""
        title = self._read(" ".join(" ".join(cells).split()))
        if title is None:
            return False
        self.waiting.append(title)
        return bool(title.day) or self.is_known(title.name)

    def of(self) -> Title:
        """The contest that the titles above name; nothing of a new one leaves the last standing."""
        if self.waiting:
            named = [one for one in self.waiting if one.day or self.is_known(one.name)]
            if named:
                day = next((one.day for one in self.waiting if one.day), "")
                told = [one.name for one in named if one.name]
                told += [one.name for one in self.waiting if one.name]
                self.current = Title(told[0] if told else "", day)
            self.waiting = []
        return self.current

    def _read(self, text: str) -> Title | None:
        if not text or len(text) > LONGEST:
            return None
        for pattern in DAYS:
            found = pattern.search(text)
            if found is None:
                continue
            try:
                day_in(found[0], self.day_order)
            except Unread:
                continue
            rest = f"{text[: found.start()]} {text[found.end() :]}"
            return Title(_name(rest), found[0])
        return Title(_name(text))


def _name(text: str) -> str:
    text = re.sub(r"\(\s*\)", "", text)
    return re.sub(r"\s+([,;:])", r"\1", " ".join(text.split())).strip(" ,;:–—-·|()")
