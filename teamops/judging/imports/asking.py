"""What must be chosen before a table can be taken in, and what is wrong in a row."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from teamops.calc.reading import plain_words
from teamops.judging.imports.columns import Columns
from teamops.judging.imports.fields import SKIP, field_choices
from teamops.judging.imports.known import Known

NEW = "new"


@dataclass(frozen=True, slots=True)
class Question:
    """
    Something to choose: its key among the answers, how it is asked, (value, label) to choose from.

    `chosen` is what was answered, or what is suggested; nothing where it must be answered first.
    """

    key: str
    label: str
    options: tuple[tuple[str, str], ...]
    chosen: str = ""

    @property
    def is_open(self) -> bool:
        return self.chosen not in {value for value, _ in self.options}


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong in a cell: its column (0 first, -1: the row), what it says and should say."""

    column: int
    said: str
    expected: str


@dataclass(slots=True)
class Asking:
    """Questions and problems as they turn up; each question once."""

    answers: Mapping[str, str]
    questions: dict[str, Question] = field(default_factory=dict)
    problems: dict[int, list[Problem]] = field(default_factory=dict)  # by row
    notes: dict[int, list[str]] = field(default_factory=dict)  # what is odd and kept, by row

    def wrong(self, row: int, column: int, said: str, expected: str) -> None:
        self.problems.setdefault(row, []).append(Problem(column, said, expected))

    def note(self, row: int, words: str) -> None:
        notes = self.notes.setdefault(row, [])
        if words not in notes:
            notes.append(words)

    def ask(
        self, key: str, label: str, options: Sequence[tuple[str, str]], suggested: str = ""
    ) -> str:
        """The answer to a question, or nothing while it is open."""
        known = self.questions.get(key)
        if known is None:
            values = {value for value, _ in options}
            given = self.answers.get(key, "")
            chosen = given if given in values else suggested if suggested in values else ""
            known = self.questions[key] = Question(key, label, tuple(options), chosen)
        return known.chosen


def ask_columns(columns: Columns, known: Known, asking: Asking) -> Columns:
    """The columns with what was answered about those that nobody knew; the rest is asked."""
    names = {key: row.name for own in known.criteria.values() for key, row in own.items()}
    options = [choice for _, choices in field_choices(names) for choice in choices if choice[0]]
    codes: dict[int, str] = {}
    for index, column in enumerate(columns.columns):
        if column.code:
            continue
        key = f"column:{index}"
        code = asking.ask(key, f"What does the column “{column.name}” say?", options)
        codes[index] = code or SKIP
    return columns.with_codes(codes) if codes else columns


def ask_day_order(columns: Columns, asking: Asking, example: str) -> str:
    """The order of days that can be read either way."""
    if "day_order" not in columns.doubts:
        return columns.day_order
    options = (("mdy", "month, day, year"), ("dmy", "day, month, year"))
    label = f"Days such as {example} can be read two ways. Which way are they written?"
    return asking.ask("day_order", label, options, columns.day_order)


def criterion_question(name: str, known: Known, asking: Asking, names: Sequence[str]) -> str:
    """Which criterion an unknown name in a cell means: a plain name, `skip`, or open."""
    options = [(key, label) for label in names for key in [plain_words(label)]]
    options.append((SKIP, "none of them: leave its rows out"))
    label = f"Which criterion is “{name}”?"
    return asking.ask(f"criterion:{plain_words(name)}", label, options)
