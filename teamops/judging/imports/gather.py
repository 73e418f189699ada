"""Rows to drafts: which contest, which box, which sheet each row is about, and what it says."""

from collections.abc import Callable, Collection, Mapping, Sequence
from typing import Any

from teamops.judging.imports import values
from teamops.judging.imports.asking import Asking
from teamops.judging.imports.boxes import Boxes
from teamops.judging.imports.columns import Columns
from teamops.judging.imports.contests import Contests
from teamops.judging.imports.days import Unread
from teamops.judging.imports.drafts import Drafts, EntryDraft
from teamops.judging.imports.fields import BOX, RESULT, SHEET, TEMPERATURES
from teamops.judging.imports.known import Known
from teamops.judging.imports.lines import Line
from teamops.judging.imports.marks import Marks
from teamops.teams.models import Team

LONGEST = {"notes": 2000}
OF_A_BOX = frozenset({*BOX, *RESULT, *SHEET, "judge_total", "comment"}) - {
    "cook",
    "rulebook",
    "notes",
}


class Gather:
    """One table on its way to drafts; problems, questions and notes go to `asking`."""

    def __init__(
        self, columns: Columns, known: Known, asking: Asking, marked: Collection[str]
    ) -> None:
        self.columns, self.known, self.asking = columns, known, asking
        self.at = {one.code: index for index, one in enumerate(columns.columns)}
        self.contests = Contests(columns, known, asking)
        self.boxes = Boxes(columns, known, asking, marked)
        self.marks = Marks(columns, known, asking)
        ours = "f" if known.team.units == Team.Units.US else "c"
        self.units = {code: columns.columns[self.at[code]].unit or ours
                      for code in TEMPERATURES if code in self.at}  # fmt: skip
        self.readers = self._readers()

    def _readers(self) -> Mapping[str, Callable[[str], Any]]:
        decimal = self.columns.decimal
        readers: dict[str, Callable[[str], Any]] = {
            "posted_total": lambda text: values.total_in(text, decimal),
            "our_total": lambda text: values.total_in(text, decimal),
            "prize": lambda text: values.money_in(text, decimal),
            "field_size": values.count_in,
            "doneness_seen": values.seen_in,
            "disqualified": values.yes_in,
            "notes": lambda text: values.shorten(text, LONGEST["notes"]),
        }
        for code, unit in self.units.items():
            readers[code] = _temperature(decimal, unit)
        return readers

    def read(self, lines: Sequence[Line]) -> Drafts:
        drafts = Drafts()
        for line in lines:
            if line.kind == "entry":
                self._row(line, drafts)
        return drafts

    def _row(self, line: Line, drafts: Drafts) -> None:
        contest = self.contests.of(line, drafts)
        if contest is None:
            return
        contest.numbers.append(line.number)
        if not _about_a_box(line):
            self.contests.note(line, contest)
            return
        entry = self.boxes.of(line, contest)
        if entry is None:
            return
        entry.numbers.append(line.number)
        self._results(line, entry)
        self.marks.read(line, entry)

    def _results(self, line: Line, entry: EntryDraft) -> None:
        if "placing" in line.said:
            self._placing(line, entry)
        for code, reader in self.readers.items():
            if code not in line.said:
                continue
            text = line.said[code]
            if code == "posted_total" and self._out(line, entry, text):
                continue
            try:
                value = reader(text)
            except Unread as unread:
                self.asking.wrong(line.number, self.at[code], text, str(unread))
                continue
            self._put(line, entry, code, value, text)

    def _placing(self, line: Line, entry: EntryDraft) -> None:
        text = line.said["placing"]
        if self._out(line, entry, text):
            return
        try:
            placed = values.placed_in(text)
        except Unread as unread:
            self.asking.wrong(line.number, self.at["placing"], text, str(unread))
            return
        self._put(line, entry, "placing", placed.place, text, self.at["placing"])
        if placed.shared:
            entry.values["tied"] = True
        if placed.of is not None and "field_size" not in line.said:
            self._put(line, entry, "field_size", placed.of, text, self.at["placing"])

    def _out(self, line: Line, entry: EntryDraft, text: str) -> bool:
        """Take in why a box has no place or total, where the cell says that instead."""
        out = values.out_in(text)
        if not out:
            return False
        if out == "disqualified":
            entry.values["disqualified"] = True
        else:
            entry.values["state"] = str(values.WHAT_BECAME[out])
        self.asking.note(line.number, f"The box is put down as {out}.")
        return True

    def _put(
        self,
        line: Line,
        entry: EntryDraft,
        code: str,
        value: Any,
        text: str,
        column: int | None = None,
    ) -> None:
        """What the table says of a box; two rows that say different things are wrong."""
        if code == "our_total":
            entry.our_total = value
            return
        if code == "prize":
            code = "prize_owed"
        elif code == "posted_total":
            code = "official_total"
        before = entry.values.get(code)
        if code in entry.rows and before != value:
            if code == "notes":
                entry.values[code] = f"{before} {value}"[: LONGEST["notes"]]
                return
            place = (
                column
                if column is not None
                else next(
                    (self.at[name] for name in (code, "prize", "posted_total") if name in self.at),
                    -1,
                )
            )
            first = f"the same as row {entry.rows[code]} says for this box"
            self.asking.wrong(line.number, place, text, first)
            return
        entry.values[code] = value
        entry.rows.setdefault(code, line.number)


def _temperature(decimal: str, unit: str) -> Callable[[str], Any]:
    return lambda text: values.temperature_in(text, decimal, unit)


def _about_a_box(line: Line) -> bool:
    """Whether a row says anything of a box; a plain list of contests does not."""
    marked = any(text for _, text in line.marks) or line.totals or line.judges
    return bool(marked or line.own & OF_A_BOX or OF_A_BOX & line.said.keys())
