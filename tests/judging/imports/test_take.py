"""A table taken in: whole or not at all, once however often, and taken away again."""

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from teamops.contests.models import Category, Contest, Entry, Trip
from teamops.judging.actions import rescore
from teamops.judging.imports import plan, take_in, undo
from teamops.judging.models import CriterionResult, CriterionTotal, Mark, Result, ScoreSheet
from teamops.rules.models import Rulebook
from teamops.teams.models import ImportBatch, Team
from tests.factories.contests import CategoryFactory, ContestFactory, EntryFactory, TaskFactory
from tests.factories.judging import scored_entry
from tests.factories.rules import RulebookFactory
from tests.judging.imports.tables import batch_of, long_rows, wide_rows

MODELS = (Trip, Contest, Category, Entry, ScoreSheet, Mark, CriterionTotal, Result, CriterionResult)


@pytest.fixture
def book(db) -> Rulebook:
    return RulebookFactory(name="Open Slate")


def counts() -> list[int]:
    return [model._base_manager.count() for model in MODELS]


def taken(team, by, rows, **answers) -> ImportBatch:
    batch = batch_of(team, by, rows, **answers)
    take_in(batch=batch, by=by)
    batch.refresh_from_db()
    return batch


def test_sheets_are_kept_with_results_and_history(team, cook, book):
    batch = taken(team, cook.user, wide_rows(2))
    assert batch.state == ImportBatch.State.DONE
    assert batch.done == batch.rows == 11
    assert batch.said["words"] == ["Two contests, two boxes and ten sheets made."]
    entry = Entry.objects.for_team(team).get(contest__name="Contest 0")
    assert entry.contest.state == Contest.State.COOKED
    assert entry.marked_at is not None
    assert entry.category.name == "Ribeye"
    assert entry.result.sheets == 5
    marks = Mark.objects.filter(sheet__entry=entry)
    assert entry.result.total == sum(mark.points for mark in marks)
    assert {row.history_user for row in Mark.history.all()} == {cook.user}
    assert Mark.history.count() == 50
    assert list(rescore(check=True)) == []
    book.refresh_from_db()
    assert book.frozen_at is not None


def test_one_mark_a_row_comes_to_the_same(team, stranger, cook, book):
    taken(team, cook.user, wide_rows(2))
    taken(stranger.team, stranger.user, long_rows(2))
    ours = Result.objects.for_team(team).order_by("entry__contest__name")
    theirs = Result.objects.for_team(stranger.team).order_by("entry__contest__name")
    assert [row.total for row in ours] == [row.total for row in theirs]


@pytest.mark.parametrize("rows", [wide_rows(2), long_rows(2)], ids=["wide", "long"])
def test_the_same_table_again_changes_nothing(team, cook, book, rows):
    taken(team, cook.user, rows)
    before = counts()
    again = plan(team, rows, batch_of(team, cook.user, rows).columns)
    assert again.counts["same"] == len(rows) - 1
    assert not again.is_good
    with pytest.raises(ValidationError, match="already"):
        taken(team, cook.user, rows)
    assert counts() == before


def test_taking_a_batch_in_twice_is_once(team, cook, book):
    batch = taken(team, cook.user, wide_rows(1))
    before = counts()
    take_in(batch=batch, by=cook.user)
    assert counts() == before


def test_what_is_missing_is_added_to_what_is_there(team, cook, book):
    taken(team, cook.user, wide_rows(2)[:4])
    taken(team, cook.user, wide_rows(2))
    assert ScoreSheet.objects.for_team(team).count() == 10
    sheets = ScoreSheet.objects.filter(entry__contest__name="Contest 0")
    assert [row.position for row in sheets] == [1, 2, 3, 4, 5]
    assert list(rescore(check=True)) == []


def test_a_corrected_mark_changes_the_sheet_and_undoing_puts_it_back(team, cook, book):
    rows = wide_rows(1)
    taken(team, cook.user, rows)
    before = Result.objects.get().total
    rows[1][6] = "1"
    rows[2][6] = "8*"
    batch = taken(team, cook.user, rows)
    assert batch.said["counts"]["changes"] == 2
    assert Result.objects.get().total < before
    assert Mark.objects.get(said="8*").points == 8
    assert list(rescore(check=True)) == []
    undo(batch=batch, by=cook.user)
    assert Result.objects.get().total == before
    assert not Mark.objects.filter(said="8*").exists()
    assert list(rescore(check=True)) == []


def test_a_wrong_row_keeps_all_of_it_out(team, cook, book):
    rows = wide_rows(200)
    rows[730][6] = "abc"
    before = counts()
    batch = batch_of(team, cook.user, rows)
    with pytest.raises(ValidationError) as refused:
        take_in(batch=batch, by=cook.user)
    assert refused.value.messages == [
        "Row 731, Taste: says “abc”, expected a mark such as 8 or 8.5."
    ]
    assert counts() == before
    batch.refresh_from_db()
    assert batch.state == ImportBatch.State.READ


def test_a_failure_in_the_middle_of_writing_leaves_nothing(team, cook, book, monkeypatch):
    def fail(*args: object, **kwargs: object) -> None:
        raise OSError("no room")

    monkeypatch.setattr("teamops.judging.imports.take.keep_results", fail)
    before = counts()
    with pytest.raises(OSError, match="no room"):
        taken(team, cook.user, wide_rows(1))
    assert counts() == before


def test_undoing_takes_everything_away(team, cook, book):
    before = counts()
    stamp = team.stamp
    batch = taken(team, cook.user, wide_rows(3))
    undo(batch=batch, by=cook.user)
    assert counts() == before
    batch.refresh_from_db()
    assert (batch.state, batch.undone_by) == (ImportBatch.State.UNDONE, cook.user)
    book.refresh_from_db()
    assert book.frozen_at is None
    assert ScoreSheet.history.filter(history_type="-").count() == 15
    assert Team.objects.get(pk=team.pk).stamp == stamp  # only once it is committed
    taken(team, cook.user, wide_rows(3))  # and in again
    assert ScoreSheet.objects.count() == 15


def test_undoing_refuses_what_was_built_upon(team, cook, book):
    batch = taken(team, cook.user, wide_rows(2))
    TaskFactory(contest=Contest.objects.get(name="Contest 0"))
    entry = Entry.objects.get(contest__name="Contest 1")
    scored_entry(entry, [[9, 9, 9, 9, 9]], by=cook.user)
    before = counts()
    with pytest.raises(ValidationError) as refused:
        undo(batch=batch, by=cook.user)
    assert "Contest 0 has a task since." in refused.value.messages
    assert "The scores of Ribeye at Contest 1 were changed since." in refused.value.messages
    assert counts() == before


def test_undoing_leaves_what_was_there_before(team, cook, book):
    contest = ContestFactory(team=team, name="Contest 0", held_on="2021-03-06", state="accepted")
    box = EntryFactory(contest=contest, category__name="Ribeye", rulebook=book)
    batch = taken(team, cook.user, wide_rows(1))
    contest.refresh_from_db()
    assert contest.state == Contest.State.COOKED
    assert box.sheets.count() == 5
    undo(batch=batch, by=cook.user)
    contest.refresh_from_db()
    box.refresh_from_db()
    assert contest.state == "accepted"
    assert box.marked_at is None
    assert not box.sheets.exists()
    assert not Result.objects.filter(entry=box).exists()


def test_results_come_without_sheets(team, cook, book):
    rows = [
        ["Event", "Date", "Category", "Score", "Place", "Teams", "Prize", "Peak (°F)"],
        ["Dry Creek", "2025-05-03", "Ribeye", "182.5", "T-3", "25", "$1,200", "131"],
        ["Stone Mill", "2025-06-07", "Ribeye", "DQ", "", "30", "", ""],
        ["Long Lake", "2025-07-05", "Ribeye", "", "7 of 22", "", "", ""],
    ]
    taken(team, cook.user, rows)
    first, second, third = Entry.objects.for_team(team).order_by("contest__held_on")
    assert first.official_total == Decimal("182.5")
    assert (first.placing, first.tied, first.field_size) == (3, True, 25)
    assert first.prize_owed == 1200
    assert first.peak_c == Decimal("55")
    assert first.result.basis == Result.Basis.TOTAL
    assert second.disqualified
    assert (third.placing, third.field_size) == (7, 22)
    assert third.result.basis == Result.Basis.PLACING
    assert list(rescore(check=True)) == []


def test_a_table_of_contests_alone_makes_contests(team, cook):
    rows = [
        ["Contest", "Date", "Location", "Fee", "Status"],
        ["Dry Creek", "2030-05-04", "Dry Creek Park", "150", "entered"],
        ["Old Mill", "2020-05-02", "", "", ""],
    ]
    taken(team, cook.user, rows)
    coming, past = Contest.objects.for_team(team).order_by("-held_on")
    assert (coming.state, coming.place, coming.fee) == ("entered", "Dry Creek Park", 150)
    assert past.state == Contest.State.COOKED
    assert not Entry.objects.for_team(team).exists()


def test_judges_side_by_side(team, cook, book):
    rows = [
        ["Contest", "Date", "Category", "Criterion", "J1", "J2", "J3", "Total"],
        ["Dry Creek", "2025-05-03", "Ribeye", "Appearance", "8", "9", "7,5", "24,5"],
        ["", "", "", "Taste", "9", "9,5", "8", "26,5"],
        ["", "", "", "Total", "17", "18,5", "15,5", "51"],
    ]
    taken(team, cook.user, rows)
    sheets = ScoreSheet.objects.order_by("position")
    assert [sheet.seat for sheet in sheets] == ["1", "2", "3"]
    marks = [[m.points for m in sheet.marks.all()] for sheet in sheets]
    assert marks == [[8, 9], [9, Decimal("9.5")], [Decimal("7.5"), 8]]


def test_progress_is_told_in_order(team, cook, book):
    heard = []
    take_in(
        batch=batch_of(team, cook.user, wide_rows(30)),
        by=cook.user,
        progress=lambda done, rows: heard.append((done, rows)),
    )
    assert heard[0] == (0, 151)
    assert heard[-1] == (151, 151)
    assert heard == sorted(heard)
    assert len(heard) > 3


def test_somebody_wrote_meanwhile(team, cook, book, monkeypatch):
    """Between the plan and the writing the contest appears: it is found, not made twice."""
    from teamops.judging.imports import take

    stamp = take._stamp

    def meanwhile(worked):
        if not Contest.objects.for_team(team).exists():
            ContestFactory(team=team, name="Contest 0", held_on="2021-03-06")
        return stamp(worked)

    monkeypatch.setattr(take, "_stamp", meanwhile)
    taken(team, cook.user, wide_rows(1))
    assert Contest.objects.for_team(team).count() == 1
    assert ScoreSheet.objects.for_team(team).count() == 5


def test_another_teams_contest_is_not_found(team, cook, stranger, book):
    ContestFactory(team=stranger.team, name="Contest 0", held_on="2021-03-06")
    CategoryFactory(team=stranger.team, name="Ribeye")
    taken(team, cook.user, wide_rows(1))
    assert Contest.objects.for_team(team).count() == 1
    assert Category.objects.for_team(team).count() == 1
