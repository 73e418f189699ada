"""The marks and totals of a row, each on the sheet it belongs to."""

from collections.abc import Iterable
from decimal import Decimal
from uuid import UUID

from teamops.calc import scoring
from teamops.calc.reading import plain_words
from teamops.calc.scoring.flags import flag_mark
from teamops.calc.words import opening
from teamops.judging.imports.asking import Asking, criterion_question
from teamops.judging.imports.columns import Columns
from teamops.judging.imports.days import Unread
from teamops.judging.imports.drafts import EntryDraft, SheetDraft
from teamops.judging.imports.fields import SKIP, criterion_of, judge_in
from teamops.judging.imports.known import Known
from teamops.judging.imports.lines import Line
from teamops.judging.imports.values import mark_in, shorten, total_in
from teamops.judging.paper import PaperMark
from teamops.rules.models import Criterion, Rulebook
from teamops.rules.records import rules_of

LONGEST = {"round": 40, "panel": 40, "table": 20, "comment": 500}
SEAT = 10  # what a sheet keeps of what the paper calls the judge


class Marks:
    """What the rows of one table say of criteria."""

    def __init__(self, columns: Columns, known: Known, asking: Asking) -> None:
        self.columns, self.known, self.asking = columns, known, asking
        self.at = {one.code: index for index, one in enumerate(columns.columns)}
        self.is_long = columns.has("criterion")
        self.found: dict[tuple[UUID, str], Criterion | None] = {}
        self.told: set[tuple[UUID, str]] = set()
        self.scales: dict[UUID, tuple[scoring.Rules, dict[int, scoring.Criterion]]] = {}
        self.flags: dict[tuple[int, Decimal], str] = {}

    def read(self, line: Line, entry: EntryDraft) -> None:
        """Take in a row's marks, judges' totals and criterion totals."""
        own = self._own(line)
        if own is None:
            return
        judges: dict[str, dict[int, PaperMark]] = {}
        for index, text in line.marks:
            if not text and self.is_long:
                continue
            criterion = self._criterion(line, entry, index, text)
            if criterion is None:
                continue
            try:
                mark = mark_in(text)
            except Unread as unread:
                self.asking.wrong(line.number, index, text, str(unread))
                continue
            judge = self.columns.columns[index].judge
            judges.setdefault(judge, {})[criterion.pk] = mark
            self._note(line, entry.rulebook, criterion, mark)
        self._sheets(line, entry, own, judges)
        self._totals(line, entry)

    def _own(self, line: Line) -> SheetDraft | None:
        """The sheet of a row without its marks; None where something of it cannot be kept."""
        own = SheetDraft()
        for code, longest in LONGEST.items():
            try:
                setattr(own, code, shorten(line.said.get(code, ""), longest))
            except Unread as unread:
                self.asking.wrong(line.number, self.at[code], line.said[code], str(unread))
                return None
        own.seat = line.said.get("seat", "")
        judge, rest = judge_in(own.seat)
        own.seat = judge if judge and not rest else own.seat.removeprefix("#").strip()
        if len(own.seat) > SEAT:  # a name: its first letters, and the whole of it beside
            words = f"Judge {own.seat}. {own.comment}".strip()
            own.comment = words[: LONGEST["comment"]]
            own.seat = "".join(word[0] for word in own.seat.split())[:SEAT]
        text = line.said.get("judge_total", "")
        if text:
            try:
                own.given_total = total_in(text, self.columns.decimal)
            except Unread as unread:
                self.asking.wrong(line.number, self.at["judge_total"], text, str(unread))
                return None
        return own

    def _criterion(self, line: Line, entry: EntryDraft, index: int, text: str) -> Criterion | None:
        """The criterion of a cell under the box's rulebook; what is none is asked or said."""
        book = entry.rulebook
        if book is None:
            return None
        name = self.columns.columns[index].criterion
        in_row = not name
        name = name or line.said.get("criterion", "")
        criterion = self._named(book, name)
        if criterion is not None and text and (book.pk, name) not in self.told:
            self.told.add((book.pk, name))
            if plain_words(criterion.name) != plain_words(name):
                self.asking.note(line.number, f"{opening(name)} is read as {criterion.name}.")
        if criterion is not None or not text:
            return criterion
        names = [row.name for row in book.criteria.all()]
        expected = " or ".join(filter(None, [", ".join(names[:-1]), *names[-1:]]))
        expected = expected or "nothing"
        place = self.at.get("criterion", index) if in_row else index
        if in_row and name:
            chosen = criterion_question(name, self.known, self.asking, names)
            if chosen == SKIP:
                self.asking.note(line.number, f"{name} is left out.")
                return None
            criterion = self._named(book, chosen) if chosen else None
        if criterion is None:
            says = name or "nothing"
            self.asking.wrong(line.number, place, says, f"{expected}, which {book} has")
        return criterion

    def _named(self, book: Rulebook, name: str) -> Criterion | None:
        key = (book.pk, name)
        if key not in self.found:
            own = self.known.criteria[book.pk]
            words = plain_words(name)
            by_key = next((row for row in own.values() if row.key == words), None)
            self.found[key] = own.get(criterion_of(name, own)) or by_key
        return self.found[key]

    def _note(
        self, line: Line, book: Rulebook | None, criterion: Criterion, mark: PaperMark
    ) -> None:
        """What is odd about a mark, and kept as it is."""
        if mark.said:
            read = "a blank" if mark.points is None else f"{mark.points:f}"
            self.asking.note(line.number, f"{criterion.name} says “{mark.said}”: kept as {read}.")
        if mark.points is None or book is None:
            return
        key = (criterion.pk, mark.points)
        if key not in self.flags:
            if book.pk not in self.scales:
                rules, rows = rules_of(book), list(book.criteria.all())
                scale = {row.pk: one for row, one in zip(rows, rules.criteria, strict=True)}
                self.scales[book.pk] = (rules, scale)
            rules, scale = self.scales[book.pk]
            flag = flag_mark(scale[criterion.pk], mark.points, rules.penalty_mark)
            self.flags[key] = flag.words if flag else ""
        if self.flags[key]:
            self.asking.note(line.number, self.flags[key])

    def _sheets(
        self,
        line: Line,
        entry: EntryDraft,
        own: SheetDraft,
        judges: dict[str, dict[int, PaperMark]],
    ) -> None:
        across = {self.columns.columns[index].judge: text for index, text in line.judges}
        for judge in dict.fromkeys([*judges, *across]):
            sheet = SheetDraft(own.round, own.panel, own.table, judge or own.seat)
            marks = judges.get(judge, {})
            if not judge:
                sheet.given_total, sheet.comment = own.given_total, own.comment
            if across.get(judge):
                try:
                    sheet.given_total = total_in(across[judge], self.columns.decimal)
                except Unread as unread:
                    place = next(i for i, t in line.judges if t == across[judge])
                    self.asking.wrong(line.number, place, across[judge], str(unread))
                    continue
            self._add(line, entry, sheet, marks)
        alone = own.given_total is not None or own.comment
        if alone and "" not in judges and "" not in across:
            sheet = SheetDraft(own.round, own.panel, own.table, own.seat)
            sheet.given_total, sheet.comment = own.given_total, own.comment
            self._add(line, entry, sheet, {})

    def _add(
        self, line: Line, entry: EntryDraft, sheet: SheetDraft, marks: dict[int, PaperMark]
    ) -> None:
        """Put a row's marks on the sheet that they go on with, or on one of their own."""
        sheet.marks = marks
        if sheet.is_empty:
            return
        sheet.panel = sheet.panel or self._panel(entry, marks)
        for other in self._going_on(entry, sheet):
            both = [key for key in marks if key in other.marks]
            again = all(other.marks[key] == marks[key] for key in both)
            if both and again and len(both) == len(marks) and sheet.seat:
                other.numbers.append(line.number)
                self.asking.note(line.number, f"The same as row {other.numbers[0]}.")
                return
            if not both and (marks or sheet.given_total is not None):
                if not marks and other.given_total not in (None, sheet.given_total):
                    continue
                other.marks |= marks
                other.rows |= dict.fromkeys(marks, line.number)
                other.numbers.append(line.number)
                if other.given_total is None:
                    other.given_total = sheet.given_total
                other.comment = other.comment or sheet.comment
                return
        sheet.rows = dict.fromkeys(marks, line.number)
        sheet.numbers = [line.number]
        entry.sheets.append(sheet)

    def _going_on(self, entry: EntryDraft, sheet: SheetDraft) -> Iterable[SheetDraft]:
        """The sheets that a row may go on with: the same judge's, or any where no judge is told."""
        if not sheet.seat and not self.is_long:
            return ()
        return [other for other in entry.sheets if other.key == sheet.key]

    def _panel(self, entry: EntryDraft, marks: Iterable[int]) -> str:
        keys = set(marks)
        panels = {row.panel for row in entry.criteria if row.pk in keys}
        return panels.pop() if len(panels) == 1 else ""

    def _totals(self, line: Line, entry: EntryDraft) -> None:
        for index, text in line.totals:
            criterion = self._criterion(line, entry, index, text)
            if criterion is None:
                continue
            try:
                total = total_in(text, self.columns.decimal)
            except Unread as unread:
                self.asking.wrong(line.number, index, text, str(unread))
                continue
            before = entry.totals.get(criterion.pk)
            if before is not None and before != total:
                row = entry.total_rows[criterion.pk]
                self.asking.wrong(line.number, index, text, f"the same as row {row} says")
                continue
            entry.totals[criterion.pk] = total
            entry.total_rows.setdefault(criterion.pk, line.number)
