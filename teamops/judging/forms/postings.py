"""A pasted list on its way into the books: the paste, and how it was understood."""

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django import forms
from django.http import QueryDict

from teamops.calc.reading import (
    MOST_CHARACTERS,
    Candidate,
    FieldRow,
    Meaning,
    Ours,
    Separator,
    Unreadable,
    field_rows,
    find_ours,
    read,
)
from teamops.contests.models import Category, Contest, Entry
from teamops.web.forms import FriendlyForm, PlainCharField

SEPARATORS = {
    Separator.TAB: "tabs, as from a spreadsheet",
    Separator.PIPE: "upright bars",
    Separator.SEMICOLON: "semicolons",
    Separator.COMMA: "commas",
    Separator.SPACES: "two spaces or more",
    Separator.WORDS: "single spaces: place, name, numbers",
    Separator.STACKED: "lines: each cell has its own",
}
MEANINGS = {
    Meaning.PLACE: "the place",
    Meaning.NAME: "the team or name",
    Meaning.COOK: "the cook",
    Meaning.NUMBER: "the number",
    Meaning.TABLE: "the table",
    Meaning.PART: "points of a part",
    Meaning.TOTAL: "the total",
    Meaning.NOTE: "a note",
    Meaning.SKIP: "left out",
}
NOT_THERE = "none"
ANOTHER = "line"


class PastedField(PlainCharField):
    """Text as it was pasted, spaces in front included; a line break counts once."""

    widget = forms.Textarea

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(strip=False, max_length=MOST_CHARACTERS, **kwargs)
        self.error_messages["max_length"] = (
            "This is too long: at most 100,000 characters at once. Paste one category at a time."
        )

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        # without maxlength: the browser would cut a long paste and say nothing
        return {"rows": 10, "spellcheck": "false", "class": "pasted"}

    def to_python(self, value: Any) -> str:
        text = str(super().to_python(value) or "")
        return text.replace("\r\n", "\n").replace("\r", "\n")


class PasteForm(FriendlyForm, forms.Form):
    """A list as it was posted: which category's, on which day, and the text itself."""

    id = forms.UUIDField(widget=forms.HiddenInput)
    category = forms.ModelChoiceField(Category.objects.none(), empty_label=None)
    text = PastedField(
        label="The list, as it was posted",
        help_text="Copy it from the PDF, the web page or the spreadsheet and paste it here: "
        "headings, page numbers and all.",
        error_messages={"required": "Paste the list first."},
    )
    posted_on = forms.DateField(label="Posted on")
    round = PlainCharField(
        label="Round",
        required=False,
        max_length=40,
        help_text="Only where there were several: “table 3”, “final table”.",
    )
    note = PlainCharField(
        label="Why it came, or where from", required=False, max_length=200,
        help_text="“Corrected after the protest”, “from their web page”.",
    )  # fmt: skip
    whole = forms.BooleanField(
        label="Every entry of the category is on it", required=False, initial=True
    )
    official = forms.BooleanField(
        label="Our placing and total are set by it", required=False, initial=True
    )

    def __init__(self, *args: Any, contest: Contest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field: Any = self.fields["category"]
        field.queryset = Category.objects.filter(entries__contest=contest).distinct()


@dataclass(frozen=True, slots=True)
class OurChoice:
    """One box of ours: the lines it may be, and the one that is chosen."""

    entry: Entry
    title: str
    name: str
    line_name: str
    options: tuple[tuple[str, str, str], ...]  # value, words, doubt
    chosen: str
    line: str
    guess: str
    says: str
    error: str = ""


@dataclass(frozen=True, slots=True)
class ColumnChoice:
    """One column: its heading, a few of its cells, and what it is taken for."""

    name: str
    heading: str
    sample: str
    meaning: str
    sure: str


class Preview:
    """
    How a pasted list is understood, with what was put right on the page.

    What was chosen for another text or another separator is passed over. `problems` are what has
    to be decided before the list can be kept.
    """

    def __init__(
        self,
        data: QueryDict,
        text: str,
        *,
        criteria: Sequence[str],
        ours: Sequence[tuple[Entry, str, Ours]],
    ) -> None:
        self.refused = ""
        self.problems: list[str] = []
        self.separator = _one_of(Separator, data.get("separator"))
        try:
            self.reading = read(text, criteria=criteria, separator=self.separator)
        except Unreadable as words:
            self.refused = str(words)
            return
        self.guess = self.reading
        self.shown = _digest(text, self.reading.separator)
        self.same = data.get("shown") == self.shown
        if self.same:
            self._put_right(data, text, criteria)
        self.rows = field_rows(self.reading)
        self.hint = _starts_again(self.rows)
        by_at = {row.at: row for row in self.rows}
        self.ours = tuple(self._choice(data, one, by_at) for one in ours)
        self._find_problems()

    def _put_right(self, data: QueryDict, text: str, criteria: Sequence[str]) -> None:
        meanings = {
            index: meaning
            for index, column in enumerate(self.reading.columns)
            if (meaning := _one_of(Meaning, data.get(f"column-{index}")))
            and meaning is not column.meaning
        }
        if meanings:
            self.reading = read(
                text, criteria=criteria, separator=self.separator, meanings=meanings
            )
        self.guess = self.reading
        self.reading = self.reading.with_lines(
            out=_numbers(data.getlist("out")), kept=_numbers(data.getlist("take"))
        )

    def _choice(
        self,
        data: QueryDict,
        one: tuple[Entry, str, Ours],
        by_at: Mapping[int, FieldRow],
    ) -> OurChoice:
        """Which line a box is: as chosen, or as guessed where the guess was left as it was."""
        entry, title, known = one
        found = find_ours(self.rows, known)
        guess = _guess(found)
        name, line_name = f"ours-{entry.pk}", f"ours-{entry.pk}-line"
        chosen, line = guess, ""
        if self.same and data.get(name, "") != data.get(f"{name}-guess", ""):
            chosen, line = data.get(name, ""), data.get(line_name, "").strip()
        options = [(str(f.at), _row_words(by_at[f.at], f), f.doubt) for f in found[:8]]
        listed = {value for value, _, _ in options} | {NOT_THERE, ANOTHER, ""}
        if chosen not in listed:
            chosen, line = ANOTHER, chosen
        error = ""
        if chosen == ANOTHER and not (line.isdecimal() and int(line) in by_at):
            error = "Write the number of a line that is kept."
        return OurChoice(
            entry=entry, title=title, name=name, line_name=line_name, options=tuple(options),
            chosen=chosen, line=line, guess=guess, says=_found_words(found, guess), error=error,
        )  # fmt: skip

    def _find_problems(self) -> None:
        for meaning in self.reading.twice:
            self.problems.append(
                f"Two columns are {MEANINGS[meaning]}. Only one can be: say what the other is."
            )
        if not self.rows:
            self.problems.append(
                "No line is read as an entry. Say what the columns are, what stands between them, "
                "or which lines to keep."
            )
        if self.rows:
            self.problems += [f"{one.title}: {one.error}" for one in self.ours if one.error]
            self.problems += [
                f"{one.title}: choose its line, or say that it is not on the list."
                for one in self.ours
                if not one.chosen
            ]
        lines = list(self.chosen.values())
        if len(set(lines)) < len(lines):
            self.problems.append("Two boxes of yours cannot be the same line.")

    @property
    def chosen(self) -> dict[UUID, int]:
        """Which line each box of ours is, for those that are on the list."""
        found = {}
        for one in self.ours:
            value = one.line if one.chosen == ANOTHER else one.chosen
            if value.isdecimal() and not one.error:
                found[one.entry.pk] = int(value)
        return found

    @property
    def columns(self) -> list[ColumnChoice]:
        """The columns, each with some of its cells."""
        kept = [line for line in self.reading.lines if line.kept][:40]
        return [
            ColumnChoice(
                name=f"column-{index}",
                heading=column.heading,
                sample=_sample([line.cells[index] for line in kept if line.cells[index]]),
                meaning=column.meaning,
                sure={"sure": "sure", "likely": "likely", "guess": "a guess"}[column.sure],
            )
            for index, column in enumerate(self.reading.columns)
        ]

    @property
    def separators(self) -> list[tuple[str, str]]:
        """What may stand between the cells; the guess first."""
        guessed = f"as guessed: {SEPARATORS[self.reading.separator]}"
        return [("", guessed if not self.separator else "guess again"), *SEPARATORS.items()]

    @property
    def meanings(self) -> list[tuple[str, str]]:
        return list(MEANINGS.items())


def _starts_again(rows: Sequence[FieldRow]) -> str:
    """Where the places begin anew: two lists in one paste, perhaps."""
    highest = 0
    for row in rows:
        if row.placing == 1 and highest > 2:
            return (
                f"Places start again at line {row.at}. If another category or round begins there, "
                "leave its lines out here and paste it by itself."
            )
        highest = max(highest, row.placing or 0)
    return ""


def _one_of(kind: Any, value: str | None) -> Any:
    return kind(value) if value in set(kind) else None


def _digest(text: str, separator: Separator) -> str:
    return hashlib.sha256(f"{separator}\n{text}".encode()).hexdigest()[:16]


def _numbers(values: Sequence[str]) -> set[int]:
    return {int(value) for value in values if value.isdecimal() and len(value) < 8}


def _sample(cells: Sequence[str]) -> str:
    shown = ", ".join(cell if len(cell) <= 24 else f"{cell[:23]}…" for cell in cells[:3])
    return f"{shown} …" if len(cells) > 3 else shown


def _guess(found: Sequence[Candidate]) -> str:
    """The line that is ours beyond doubt; “none” where nothing looks like it, else nothing."""
    if not found:
        return NOT_THERE
    sure = [one for one in found if not one.doubt]
    if sure and (len(sure) == 1 or sure[0].fit > sure[1].fit):
        return str(sure[0].at)
    return ""


def _found_words(found: Sequence[Candidate], guess: str) -> str:
    if not found:
        return "Not found on this list by team, number, blind number or cook."
    if guess:
        return ""
    if all(one.doubt for one in found):
        return "A line has our number and another name: another team’s, or ours under their name?"
    return "Several lines may be this box: choose one."


def _row_words(row: FieldRow, found: Candidate) -> str:
    place = "no place" if row.placing is None else f"place {row.placing}"
    total = "" if row.total is None else f", {row.total.normalize():f}"
    number = f" (number {row.number})" if row.number else ""
    by = " and ".join(found.by)
    return f"line {row.at}: {row.name or '–'}{number}, {place}{total}; by {by}"
