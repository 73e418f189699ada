"""What keeping a pasted list will do, said before it is done."""

from collections.abc import Mapping, Sequence
from uuid import UUID

from teamops.calc.reading import FieldRow, Kind, Meaning, Reading
from teamops.calc.words import list_words, ordinal, plain
from teamops.contests.models import Entry
from teamops.judging.queries.postings import entry_name

SHOWN = {
    Meaning.PLACE: "place",
    Meaning.NAME: "name",
    Meaning.COOK: "cook",
    Meaning.NUMBER: "number",
    Meaning.TABLE: "table",
    Meaning.TOTAL: "total",
    Meaning.NOTE: "note",
}


def promise(
    reading: Reading, rows: Sequence[FieldRow], ours: Mapping[UUID, int], entries: Sequence[Entry]
) -> list[str]:
    """Sentences: how many lines with what, how many left out, and what ours will be."""
    meanings = {column.meaning for column in reading.columns}
    what = [word for meaning, word in SHOWN.items() if meaning in meanings]
    parts = sum(column.meaning is Meaning.PART for column in reading.columns)
    what += [f"{parts} part{'' if parts == 1 else 's'}"] if parts else []
    with_what = f" with {list_words(what)}" if what else ""
    words = [f"{len(rows)} entr{'y' if len(rows) == 1 else 'ies'}{with_what}."]
    out = [line for line in reading.lines if not line.kept]
    if out:
        heads = sum(line.kind in (Kind.HEADING, Kind.REPEATED, Kind.SUM) for line in out)
        are = "line is" if len(out) == 1 else "lines are"
        words.append(f"{len(out)} {are} left out, {heads} of them headings or sums.")
    by_at = {row.at: row for row in rows}
    for entry in entries:
        row = by_at.get(ours.get(entry.pk, 0))
        if row is not None:
            words.append(f"{entry_name(entry)}: {_ours(row, len(rows))}{_now(entry)}")
    return words


def _ours(row: FieldRow, count: int) -> str:
    place = ordinal(row.placing) if row.placing else row.out or "no place"
    total = "" if row.total is None else f" with {plain(row.total)}"
    return f"{place} of {count}{total}."


def _now(entry: Entry) -> str:
    """What is official now, where something is: it becomes a correction."""
    if entry.placing is None and entry.official_total is None:
        return ""
    place = ordinal(entry.placing) if entry.placing else "no place"
    total = "" if entry.official_total is None else f" with {plain(entry.official_total)}"
    return f" So far it has {place}{total}; what changes is written down as a correction."
