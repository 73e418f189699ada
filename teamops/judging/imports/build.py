"""Drafts to rows that can be written: nothing is asked of the database and nothing written."""

from collections.abc import Callable, Iterator
from typing import Any

from django.utils import timezone

from teamops.calc.reading import plain_words
from teamops.contests.models import Category, Contest, Entry, Trip
from teamops.contests.queries import today_of
from teamops.judging.actions.results import unsaved_result
from teamops.judging.imports.categories import is_steak
from teamops.judging.imports.drafts import ContestDraft, EntryDraft, SheetDraft
from teamops.judging.imports.known import Stored
from teamops.judging.imports.match import changed_contest, changed_values
from teamops.judging.imports.plan import Worked
from teamops.judging.imports.rows import Rows
from teamops.judging.models import CriterionTotal, Mark, Result, ScoreSheet
from teamops.judging.worked import Worked as Reckoned
from teamops.judging.worked import work_out_of
from teamops.rules.models import Criterion
from teamops.teams.models import User

STEP = 25  # boxes between two words about the progress


class Builder:
    """Makes the rows of one worked-out table under the name of who brings it in."""

    def __init__(self, worked: Worked, by: User) -> None:
        self.worked, self.by = worked, by
        self.known, self.papers = worked.known, worked.papers
        self.rows = Rows()
        self.criteria: dict[int, Criterion] = {
            row.pk: row for book in self.known.rulebooks.values() for row in book.criteria.all()
        }
        self.today = today_of(self.known.team)
        self.now = timezone.now()

    def build(self, progress: Callable[[int, int], None]) -> Rows:
        """All rows, with every result worked out; `progress` hears how many boxes of all."""
        drafts = self.worked.drafts
        total, done = sum(1 for _ in drafts.entries()), 0
        for draft in drafts.contests:
            contest = self._contest(draft)
            judged = False
            for entry in draft.entries:
                judged |= self._entry(contest, entry)
                done += 1
                if done % STEP == 0 or done == total:
                    progress(done, total)
            if judged and contest.state != Contest.State.COOKED and not contest.is_off:
                if draft.stored is None:
                    contest.state = Contest.State.COOKED
                else:
                    self.rows.change(contest, "state", Contest.State.COOKED.value)
            if draft.stored is None and contest.state == Contest.State.PAID:
                contest.fee_paid_on = self.today
        return self.rows

    def _contest(self, draft: ContestDraft) -> Contest:
        if draft.stored is not None:
            for name, value in changed_contest(draft).items():
                self.rows.change(draft.stored, name, value)
            return draft.stored
        team = self.known.team
        trip = Trip(team=team, name=draft.name)
        past = draft.held_on <= self.today
        state = Contest.State.COOKED if past else Contest.State.CONSIDERING
        contest = Contest(
            team=team,
            trip=trip,
            name=draft.name,
            held_on=draft.held_on,
            time_zone=team.time_zone,
            changed_by=self.by,
            **{"state": state.value} | draft.values,
        )
        if contest.state == Contest.State.POSTPONED:
            contest.was_held_on = contest.held_on
        contest.clean_fields(exclude=["team", "trip", "time_zone", "changed_by"])
        self.rows.trips.append(trip)
        self.rows.contests.append(contest)
        return contest

    def _entry(self, contest: Contest, draft: EntryDraft) -> bool:
        """The rows of one box; whether anything of its judging is known."""
        entry = self._stored(draft, draft.stored) if draft.stored else self._new(contest, draft)
        new = draft.stored is None
        papers = list(self._papers(entry, draft))
        totals = self._totals(entry, draft)
        result = self.papers.results.get(entry.pk) or unsaved_result(entry)
        touched = self._is_touched(entry, draft, new=new)
        if not touched:
            return False
        result.entry = entry
        reckoned = work_out_of(entry, papers, totals)
        basis = reckoned.columns["basis"]
        if basis == Result.Basis.NONE and result._state.adding and not papers:
            return False
        self.rows.results.append((result, reckoned))
        written = bool(papers) or basis == Result.Basis.CRITERION_TOTALS
        self._mark_written(entry, new=new, written=written)
        self._compare(draft, entry, reckoned)
        return bool(basis != Result.Basis.NONE)

    def _is_touched(self, entry: Entry, draft: EntryDraft, *, new: bool) -> bool:
        """Whether its result may come out otherwise than it is stored."""
        if new:
            return True
        if any(sheet.does != "same" for sheet in draft.sheets):
            return True
        if entry.pk in self.rows.changed.get(Entry, {}):
            return True
        stored = self.papers.totals.get(entry.pk, {})
        return any(key not in stored for key in draft.totals) or any(
            row.pk in self.rows.changed.get(CriterionTotal, {}) for row in stored.values()
        )

    def _mark_written(self, entry: Entry, *, new: bool, written: bool) -> None:
        if not written:
            return
        self.rows.frozen.setdefault(entry.rulebook.pk, entry.rulebook)
        if entry.marked_at is None and new:
            entry.marked_at = self.now
        elif entry.marked_at is None:
            self.rows.change(entry, "marked_at", self.now)

    def _compare(self, draft: EntryDraft, entry: Entry, reckoned: Reckoned) -> None:
        """Say where the table's own sum is another than ours."""
        ours = reckoned.columns["total"]
        if draft.our_total is not None and ours is not None and draft.our_total != ours:
            self.rows.differs.append(
                f"{entry}: the table’s own sum is {draft.our_total.normalize():f}, "
                f"ours is {ours.normalize():f}."
            )

    def _new(self, contest: Contest, draft: EntryDraft) -> Entry:
        entry = Entry(
            contest=contest,
            category=self._category(draft.category),
            rulebook=draft.rulebook,
            blind_number=draft.blind_number,
            team_number=draft.team_number,
            cook_of_record=draft.cook,
            guest_cook=draft.guest_cook,
            changed_by=self.by,
            **draft.values,
        )
        entry.clean_fields(
            exclude=["contest", "category", "rulebook", "cook_of_record", "changed_by"]
        )
        self.rows.entries.append(entry)
        return entry

    def _stored(self, draft: EntryDraft, entry: Entry) -> Entry:
        for name, value in changed_values(draft).items():
            self.rows.change(entry, name, value)
        entry.rulebook = self.known.rulebooks[entry.rulebook_id]
        return entry

    def _category(self, name: str) -> Category:
        plain = plain_words(name)
        known = self.known.categories.get(plain) or self.rows.categories.get(plain)
        if known is None:
            known = self.rows.categories[plain] = Category(
                team=self.known.team, name=name, ancillary=not is_steak(name)
            )
            known.clean_fields(exclude=["team"])
        return known

    def _papers(self, entry: Entry, draft: EntryDraft) -> Iterator[tuple[ScoreSheet, list[Mark]]]:
        """All sheets of a box as they will be: stored ones, with their changes, then new ones."""
        drafts = {one.stored.sheet.pk: one for one in draft.sheets if one.stored}
        position = 0
        for stored in self.papers.sheets.get(entry.pk, []):
            marks = stored.marks
            for mark in marks.values():
                mark.criterion = self.criteria[mark.criterion_id]
            if stored.sheet.pk in drafts:
                self._change(drafts[stored.sheet.pk], stored)
            position = max(position, stored.sheet.position)
            yield stored.sheet, [marks[key] for key in self._in_order(marks)]
        for sheet in draft.sheets:
            if sheet.stored is None:
                position += 1
                yield self._sheet(entry, sheet, position)

    def _in_order(self, marks: dict[int, Mark]) -> list[int]:
        return sorted(marks, key=lambda key: (self.criteria[key].order, key))

    def _sheet(
        self, entry: Entry, draft: SheetDraft, position: int
    ) -> tuple[ScoreSheet, list[Mark]]:
        sheet = ScoreSheet(
            entry=entry,
            round=draft.round,
            panel=draft.panel,
            table=draft.table,
            seat=draft.seat,
            position=position,
            given_total=draft.given_total,
            comment=draft.comment,
            recorded_by=self.by,
        )
        self.rows.sheets.append(sheet)
        if not any(not mark.is_blank for mark in draft.marks.values()):
            return sheet, []
        marks = {
            # by ids: a mark comes by the thousand, and setting its relations costs most of it
            key: Mark(sheet_id=sheet.pk, criterion_id=key, points=mark.points, said=mark.said)
            for key, mark in draft.marks.items()
        }
        for key, row in marks.items():
            row._state.fields_cache["criterion"] = self.criteria[key]
        ordered = [marks[key] for key in self._in_order(marks)]
        self.rows.marks += ordered
        return sheet, ordered

    def _change(self, draft: SheetDraft, stored: Stored) -> None:
        """A stored sheet as the table has it."""
        if draft.given_total is not None:
            self.rows.change(stored.sheet, "given_total", draft.given_total)
        if draft.comment:
            self.rows.change(stored.sheet, "comment", draft.comment)
        for key, mark in draft.marks.items():
            row = stored.marks.get(key)
            if row is not None:
                self.rows.change(row, "points", mark.points)
                self.rows.change(row, "said", mark.said)
            elif not mark.is_blank:
                row = Mark(sheet=stored.sheet, criterion=self.criteria[key], points=mark.points,
                           said=mark.said)  # fmt: skip
                stored.marks[key] = row
                self.rows.marks.append(row)

    def _totals(self, entry: Entry, draft: EntryDraft) -> dict[int, Any]:
        stored = self.papers.totals.get(entry.pk, {})
        for key, points in draft.totals.items():
            if key in stored:
                self.rows.change(stored[key], "points", points)
            else:
                self.rows.totals.append(
                    CriterionTotal(entry=entry, criterion=self.criteria[key], points=points)
                )
        return {key: row.points for key, row in stored.items()} | draft.totals
