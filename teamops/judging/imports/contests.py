"""Which contest a row is about: found by name and day, or to be made."""

from datetime import date
from typing import Any
from uuid import UUID

from teamops.calc.reading import plain_name
from teamops.contests.models import Contest
from teamops.contests.queries import today_of
from teamops.judging.imports import values
from teamops.judging.imports.asking import Asking
from teamops.judging.imports.columns import Columns
from teamops.judging.imports.days import Unread, day_in
from teamops.judging.imports.drafts import ContestDraft, Drafts
from teamops.judging.imports.known import Known
from teamops.judging.imports.lines import Line

NAME, PLACE, NOTES = 120, 120, 4000  # what a contest keeps
MANY = 60  # contests that a list to choose from still shows


class Contests:
    """The contests of one table, as its rows name them."""

    def __init__(self, columns: Columns, known: Known, asking: Asking) -> None:
        self.columns, self.known, self.asking = columns, known, asking
        self.at = {one.code: index for index, one in enumerate(columns.columns)}
        self.drafts: dict[tuple[str, date | None, str], ContestDraft | None] = {}
        self.stored: dict[UUID, ContestDraft] = {}
        self.days: dict[str, date | None] = {}
        self.today = today_of(known.team)

    def of(self, line: Line, drafts: Drafts) -> ContestDraft | None:
        """The contest of a row; None where it cannot be told, which is said or asked."""
        name = line.said.get("contest", "")
        day = self._day(line)
        if day is None and "held_on" in line.said:
            return None  # said already
        if len(name) > NAME:
            self.asking.wrong(
                line.number, self.at.get("contest", -1), name, f"at most {NAME} characters"
            )
            return None
        key = (plain_name(name), day, "")
        if key not in self.drafts:
            draft = self._draft(line, name, day)
            same = self.stored.get(draft.stored.pk) if draft and draft.stored else None
            self.drafts[key] = same or draft
            if draft is not None and same is None:
                drafts.contests.append(draft)
                if draft.stored is not None:
                    self.stored[draft.stored.pk] = draft
        found = self.drafts[key]
        if found is None:
            self._lacking(line, name, day)
        else:
            self._values(line, found)
        return found

    def _day(self, line: Line) -> date | None:
        text = line.said.get("held_on", "")
        if not text:
            return None
        if text not in self.days:
            try:
                self.days[text] = day_in(text, self.columns.day_order)
            except Unread:
                self.days[text] = None
        day = self.days[text]
        if day is None:
            self.asking.wrong(
                line.number, self.at.get("held_on", -1), text, "a day such as 2026-05-03"
            )
        return day

    def _draft(self, line: Line, name: str, day: date | None) -> ContestDraft | None:
        if not name and day is None:
            return self._chosen("contest", "Which contest are these sheets of?", self._recent())
        same = self.known.named(name) if name else [*self.known.contests]
        if day is not None:
            same = [one for one in same if one.held_on == day]
        if len(same) == 1:
            return ContestDraft(same[0].name, same[0].held_on, same[0])
        if same:
            label = f"Which contest is “{name}”?" if name else f"Which contest on {day:%Y-%m-%d}?"
            key = f"contest:{plain_name(name)}:{day or ''}"
            return self._chosen(key, label, same)
        if day is None:
            return None
        name = name or line.said.get("place", "")[:NAME]
        return ContestDraft(name, day) if name else None

    def _recent(self) -> list[Contest]:
        return [one for one in reversed(self.known.contests) if one.held_on <= self.today][:MANY]

    def _chosen(self, key: str, label: str, contests: list[Contest]) -> ContestDraft | None:
        options = [(str(one.pk), contest_words(one)) for one in contests]
        if not options:
            return None
        chosen = self.asking.ask(key, label, options)
        found = next((one for one in contests if str(one.pk) == chosen), None)
        return ContestDraft(found.name, found.held_on, found) if found else None

    def _lacking(self, line: Line, name: str, day: date | None) -> None:
        """Why the contest of a row is not known."""
        column = self.at.get("contest", self.at.get("held_on", -1))
        if any(key.startswith("contest") and question.is_open
               for key, question in self.asking.questions.items()):  # fmt: skip
            self.asking.wrong(line.number, column, name or "nothing",
                              "that you choose above which contest this is")  # fmt: skip
        elif name:
            expected = "its day too, such as 2026-05-03: you have no contest of this name"
            self.asking.wrong(line.number, self.at.get("held_on", column), "nothing", expected)
        else:
            self.asking.wrong(line.number, column, "nothing", "the name of a contest")

    def _values(self, line: Line, draft: ContestDraft) -> None:
        """What a row says of the contest besides its name and day."""
        for code in ("place", "state", "fee"):
            if code not in line.own and (code in draft.rows or code not in line.said):
                continue
            text = line.said[code]
            try:
                value = self._value(code, text)
            except Unread as unread:
                self.asking.wrong(line.number, self.at[code], text, str(unread))
                continue
            if code in draft.rows and draft.values[code] != value:
                words = f"the same as row {draft.rows[code]} says for this contest"
                self.asking.wrong(line.number, self.at[code], text, words)
                continue
            draft.values[code] = value
            draft.rows.setdefault(code, line.number)

    def note(self, line: Line, draft: ContestDraft) -> None:
        """Notes in a row that says nothing of a box are about the contest."""
        if "notes" not in line.own:
            return
        try:
            draft.values["notes"] = values.shorten(line.said["notes"], NOTES)
        except Unread as unread:
            self.asking.wrong(line.number, self.at["notes"], line.said["notes"], str(unread))
            return
        draft.rows.setdefault("notes", line.number)

    def _value(self, code: str, text: str) -> Any:
        if code == "state":
            return values.state_in(text)
        if code == "fee":
            return values.money_in(text, self.columns.decimal)
        return values.shorten(text, PLACE)


def contest_words(contest: Contest) -> str:
    """A contest in a list to choose from."""
    parts = [f"{contest.name}, {contest.held_on:%Y-%m-%d}", contest.place]
    parts.append(contest.get_state_display())
    return " · ".join(part for part in parts if part)
