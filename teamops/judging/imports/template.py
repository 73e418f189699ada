"""A table to fill in, with two made-up rows and what each column is for."""

from collections.abc import Sequence

from teamops.calc.words import list_words, plain
from teamops.judging.imports.guess import criteria_of
from teamops.rules.models import Rulebook
from teamops.rules.queries import default_rulebook
from teamops.tabular import csv_bytes, xlsx_bytes
from teamops.teams.models import Team

BEFORE: tuple[tuple[str, str, str, str], ...] = (
    (
        "Contest",
        "Spring Fire",
        "Spring Fire",
        "The contest’s name. With its date it is known again.",
    ),
    ("Date", "2026-05-02", "2026-05-02", "The day of the turn-in, year first."),
    ("Location", "Ferry Landing", "Ferry Landing", "Where it was. May stay empty."),
    ("Category", "Ribeye", "Ribeye", "What was cooked."),
    ("Cook of record", "", "", "Name or email of who cooked the box. May stay empty."),
    ("Judge", "1", "2", "The judge’s seat, as the sheet says it: one row for each judge’s sheet."),
)
AFTER: tuple[tuple[str, str, str, str], ...] = (
    ("Comment", "", "a little salty", "What the judge wrote. May stay empty."),
    ("Posted total", "", "", "The total that was posted; once for each box is enough."),
    ("Placing", "4", "", "The place of the box; once is enough. DQ if it was disqualified."),
    ("Field size", "21", "", "How many boxes there were in the category."),
    ("Prize", "50", "", "What it won, in your currency."),
    ("Peak temperature", "", "", "The highest inside temperature that was seen"),
    ("Doneness as seen", "", "", "under, right or over."),
    ("Notes", "", "", "Anything else about the box."),
)
USUAL = ("Appearance", "Doneness", "Taste", "Texture", "Overall impression")
EXAMPLE = ("8", "9", "7.5", "8", "8.5", "7", "9")
READ_ME = "What to fill in"


def columns_of(team: Team) -> list[tuple[str, str, str, str]]:
    """Each column's head, its two examples and what it is for, with the usual book's criteria."""
    book = default_rulebook(team)
    names = [row.name for row in book.criteria.all()] if book else list(USUAL)
    marks = [
        (name, EXAMPLE[place % 7], EXAMPLE[(place + 3) % 7], _mark_words(book, name))
        for place, name in enumerate(names)
    ]
    unit = "°F" if team.units == Team.Units.US else "°C"
    after = [
        (f"{name} {unit}", one, two, f"{words}, in {unit}.")
        if name == "Peak temperature"
        else (name, one, two, words)
        for name, one, two, words in AFTER
    ]
    return [*BEFORE, *marks, *after]


def _mark_words(book: Rulebook | None, name: str) -> str:
    row = next((one for one in book.criteria.all() if one.name == name), None) if book else None
    scale = ""
    if row is not None and row.least is not None and row.most is not None:
        scale = f", {plain(row.least)} to {plain(row.most)}"
    return f"The judge’s mark{scale}. Odd ones as the paper has them: 8/9, a dash, DQ."


def template_csv(team: Team) -> bytes:
    """The table to fill in as CSV."""
    heads, rows = _table(team)
    return csv_bytes(heads, rows)


def template_xlsx(team: Team) -> bytes:
    """The same as XLSX, with a second sheet that says what each column is for."""
    heads, rows = _table(team)
    words = [[name, text] for name, _, _, text in columns_of(team)]
    others = [name for name in criteria_of(team).values() if name not in heads]
    if others:
        words.append(["Other criteria", f"Columns may also be called {list_words(others)}."])
    words.append(["The two rows", "They are made up: write over them."])
    return xlsx_bytes({"Sheets": (heads, rows), READ_ME: (["Column", "What it is for"], words)})


def _table(team: Team) -> tuple[list[str], list[Sequence[str]]]:
    columns = columns_of(team)
    rows: list[Sequence[str]] = [[one[1] for one in columns], [one[2] for one in columns]]
    return [one[0] for one in columns], rows
