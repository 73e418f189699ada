"""Titles above blocks of rows that name the contest, where no column does."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

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
BETWEEN = re.compile(r"(\s*[,;|·–—]\s*|\s+-\s+|\s{2,}|\t)")
LONGEST = 160  # a title; what is longer is a remark


@dataclass(frozen=True, slots=True)
class Title:
    """What a title says of the rows below it: a contest's name, its day as written, a category."""

    name: str = ""
    day: str = ""
    category: str = ""


class Sections:
    """
    Reads titles as they come; `of` gives what holds for a row of entries.

    A title is one only with a day in it, with a name that `is_known`, or where it is nothing but
    the name of a category, which then holds below it at the same contest.
    """

    def __init__(
        self,
        day_order: str,
        is_known: Callable[[str], bool],
        is_category: Callable[[str], bool] = lambda name: False,
    ) -> None:
        self.day_order, self.is_known, self.is_category = day_order, is_known, is_category
        self.waiting: list[Title] = []
        self.current = Title()

    def hear(self, cells: Sequence[str]) -> bool:
        """Take in a row of words; whether it says which contest follows."""
        category, left = self._category(cells)
        title = self._read(left, category)
        if title is None:
            return False
        self.waiting.append(title)
        return bool(title.day) or self.is_known(title.name) or bool(category and not title.name)

    def of(self) -> Title:
        """The contest that the titles above name; nothing of a new one leaves the last standing."""
        if self.waiting:
            named = [one for one in self.waiting if one.day or self.is_known(one.name)]
            if named:
                day = next((one.day for one in self.waiting if one.day), "")
                told = [one.name for one in named if one.name]
                told += [one.name for one in self.waiting if one.name]
                self.current = Title(told[0] if told else "", day)
            category = next((one.category for one in self.waiting if one.category), "")
            if category:
                self.current = replace(self.current, category=category)
            self.waiting = []
        return self.current

    def _category(self, cells: Sequence[str]) -> tuple[str, str]:
        """A category that stands by itself in a title, and the rest of the title as one text."""
        category, left = "", []
        for cell in cells:
            parts = BETWEEN.split(cell)
            for place, part in enumerate(parts):
                if not category and part.strip() and self.is_category(part):
                    category, parts[place] = part.strip(), ""
            left.append("".join(parts))
        return category, " ".join(" ".join(left).split())

    def _read(self, text: str, category: str) -> Title | None:
        if not (text or category) or len(text) > LONGEST:
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
            return Title(_name(rest), found[0], category)
        return Title(_name(text), category=category)


def _name(text: str) -> str:
    text = re.sub(r"\(\s*\)", "", text)
    text = re.sub(r"([,;:|·])(?:\s*[,;:|·])+", r"\1", text)
    return re.sub(r"\s+([,;:])", r"\1", " ".join(text.split())).strip(" ,;:–—-·|()")
