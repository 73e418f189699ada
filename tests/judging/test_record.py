"""An envelope is written whole, or not at all."""

from decimal import Decimal
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError

from teamops.contests.models import Contest, Entry
from teamops.judging import actions
from teamops.judging.actions import TypedSheet, record_scores
from teamops.judging.models import CriterionResult, Mark, Result, ScoreSheet
from teamops.rules.models import Criterion
from teamops.teams.versions import Conflict
from tests.factories.contests import EntryFactory
from tests.factories.judging import ScoreSheetFactory, scored_entry, typed_table
from tests.factories.rules import CriterionFactory
from tests.factories.teams import UserFactory

pytestmark = pytest.mark.django_db
FIVE = [
    [9, 8, 9, 9, 9],
    ["9.5", 8, 8, "8.5", 9],
    [10, 8, 7, 9, 9],
    [9, 7, 8, 8, 8],
    [9, 9, 9, 9, 9],
]


@pytest.fixture
def entry() -> Entry:
    return EntryFactory()


@pytest.fixture
def cook():
    return UserFactory()


def first_criterion(entry: Entry) -> Criterion:
    return entry.rulebook.criteria.first()


def test_the_table_is_stored_as_typed(entry, cook):
    result = record_scores(
        entry=entry, seen=0, sheets=typed_table(entry, FIVE), official={}, by=cook
    )
    sheets = entry.sheets.prefetch_related("marks")
    assert [[m.points for m in sheet.marks.all()] for sheet in sheets] == [
        [Decimal(str(mark)) for mark in row] for row in FIVE
    ]
    assert [sheet.position for sheet in sheets] == [1, 2, 3, 4, 5]
    assert {sheet.recorded_by for sheet in sheets} == {cook}
    assert (result.version, result.changed_by, result.total) == (1, cook, 215)


def test_every_mark_has_its_history_with_who(entry, cook):
    scored_entry(entry, FIVE, by=cook)
    assert Mark.history.count() == 25
    assert set(Mark.history.values_list("history_user", flat=True)) == {cook.pk}
    sheet, other = entry.sheets.first(), UserFactory()
    typed = typed_again(entry)
    typed[0].marks[first_criterion(entry).pk] = Decimal(7)
    record_scores(entry=entry, seen=1, sheets=typed, official={}, by=other)
    past = Mark.history.filter(history_type="~")
    assert [(row.sheet_id, row.points, row.history_user) for row in past] == [(sheet.pk, 7, other)]
    assert Result.history.filter(entry=entry).count() == 2


def typed_again(entry: Entry) -> list[TypedSheet]:
    """What is stored, as the page would send it back."""
    return [
        TypedSheet(
            id=sheet.pk,
            marks={mark.criterion_id: mark.points for mark in sheet.marks.all()},
            seat=sheet.seat,
            given_total=sheet.given_total,
            comment=sheet.comment,
        )
        for sheet in entry.sheets.prefetch_related("marks")
    ]


def test_what_is_not_on_the_page_any_more_is_taken_away_and_remembered(entry, cook):
    scored_entry(entry, FIVE)
    gone, *typed = typed_again(entry)
    empty = TypedSheet(typed[0].id, dict.fromkeys(typed[0].marks), seat="3")
    record_scores(entry=entry, seen=1, sheets=[empty, *typed[1:]], official={}, by=cook)
    assert entry.sheets.count() == 3
    assert [sheet.position for sheet in entry.sheets.all()] == [1, 2, 3]
    deleted = ScoreSheet.history.filter(history_type="-")
    assert set(deleted.values_list("id", flat=True)) == {gone.id, empty.id}
    assert Mark.history.filter(history_type="-", history_user=cook).count() == 10
    assert Mark.objects.count() == 15


def test_odd_marks_are_kept_as_the_paper_has_them(entry):
    odd = scored_entry(entry, [[11, "8.75", None, 0, 9], [9] * 5, [9] * 5, [9] * 5, *[[8] * 5] * 2])
    stored = [mark.points for mark in odd.sheets.first().marks.all()]
    assert stored == [11, Decimal("8.75"), None, 0, 9]
    words = " ".join(flag["words"] for flag in odd.result.flags)
    assert "Six sheets where five are expected; all of them are used." in words
    assert "Appearance 11 is off the scale" in words
    assert "Doneness 8.75 is between the steps" in words
    assert "left taste blank" in words


def test_two_papers_may_say_the_same_seat(entry, cook):
    first, second = typed_table(entry, FIVE[:2])
    sheets = [TypedSheet(s.id, s.marks, seat="3") for s in (first, second)]
    result = record_scores(entry=entry, seen=0, sheets=sheets, official={}, by=cook)
    assert [sheet.seat for sheet in entry.sheets.all()] == ["3", "3"]
    assert "2 sheets say seat 3." in [flag["words"] for flag in result.flags]


def test_a_second_saver_is_told_and_nothing_of_theirs_is_touched(entry, cook):
    scored_entry(entry, FIVE)
    with pytest.raises(Conflict) as told:
        record_scores(
            entry=entry,
            seen=0,
            sheets=typed_table(entry, [[1] * 5]),
            official={"placing": 2},
            by=cook,
        )
    assert told.value.current.version == 1
    assert entry.sheets.count() == 5
    assert Entry.objects.get(pk=entry.pk).placing is None


def test_knowing_theirs_mine_replaces_it(entry, cook):
    scored_entry(entry, FIVE)
    record_scores(entry=entry, seen=1, sheets=typed_table(entry, [[1] * 5]), official={}, by=cook)
    assert entry.sheets.count() == 1
    assert Result.objects.get(entry=entry).total == 5


def test_the_same_page_sent_twice_is_saved_once(entry, cook):
    page = {
        "entry": entry,
        "seen": 0,
        "sheets": typed_table(entry, FIVE),
        "official": {"placing": 3},
        "by": cook,
        "op": uuid4(),
    }
    record_scores(**page)
    again = record_scores(**page)
    assert again.version == 1
    assert (ScoreSheet.objects.count(), Mark.history.count()) == (5, 25)
    assert Entry.objects.get(pk=entry.pk).version == 2


def test_the_same_page_with_a_mark_put_right_is_a_save_not_a_conflict(entry, cook):
    """Back in the browser, one mark put right, Save: the page has seen its own save."""
    sheets, op = typed_table(entry, FIVE), uuid4()
    record_scores(entry=entry, seen=0, sheets=sheets, official={}, by=cook, op=op)
    sheets[0].marks[first_criterion(entry).pk] = Decimal(10)
    result = record_scores(entry=entry, seen=0, sheets=sheets, official={}, by=cook, op=op)
    assert (result.version, result.total) == (2, 216)


def test_a_page_from_before_somebody_elses_save_is_a_conflict_though_it_was_saved_once(entry, cook):
    sheets, op = typed_table(entry, FIVE), uuid4()
    record_scores(entry=entry, seen=0, sheets=sheets, official={}, by=cook, op=op)
    scored_entry(entry, [[8] * 5])
    with pytest.raises(Conflict):
        record_scores(entry=entry, seen=0, sheets=sheets, official={}, by=cook, op=op)


def test_a_sheet_of_another_entry_is_not_found(entry, cook):
    theirs = ScoreSheetFactory(marks=[9] * 5)
    sheet = TypedSheet(theirs.pk, {first_criterion(entry).pk: Decimal(1)})
    with pytest.raises(ScoreSheet.DoesNotExist):
        record_scores(entry=entry, seen=0, sheets=[sheet], official={}, by=cook)
    assert [mark.points for mark in theirs.marks.all()] == [9] * 5
    assert not Result.objects.filter(entry=entry).exists()


@pytest.mark.parametrize("number", ["12345", "1.23456", "NaN", "Infinity"])
def test_what_no_column_can_hold_is_refused_whole(entry, cook, number):
    sheets = typed_table(entry, [*FIVE, [9, 9, 9, 9, Decimal(number)]])
    with pytest.raises(ValidationError):
        record_scores(entry=entry, seen=0, sheets=sheets, official={}, by=cook)
    assert not Mark.objects.exists()
    assert not Result.objects.exists()


def test_a_mark_of_another_rulebook_is_refused(entry, cook):
    sheet = TypedSheet(uuid4(), {CriterionFactory().pk: Decimal(9)})
    with pytest.raises(ValidationError):
        record_scores(entry=entry, seen=0, sheets=[sheet], official={}, by=cook)


def test_one_sheet_twice_is_refused(entry, cook):
    (sheet,) = typed_table(entry, [[9] * 5])
    with pytest.raises(ValidationError):
        record_scores(entry=entry, seen=0, sheets=[sheet, sheet], official={}, by=cook)


@pytest.mark.parametrize(
    "breaking",
    [
        "teamops.judging.actions.record.store_results",
        "teamops.judging.actions.record._set_official",
        "teamops.judging.actions.record.mark_cooked",
        "teamops.judging.actions.record.bulk_create_with_history",
    ],
)
def test_a_save_that_breaks_off_leaves_everything_as_it_was(entry, cook, breaking, monkeypatch):
    scored_entry(entry, FIVE)
    put_state(entry, Contest.State.PAID)
    before = state_of(entry)

    def die(*args, **kwargs):
        raise RuntimeError("the plug was pulled")

    monkeypatch.setattr(breaking, die)
    with pytest.raises(RuntimeError):
        record_scores(
            entry=entry,
            seen=1,
            sheets=[typed_again(entry)[0], *typed_table(entry, [[1] * 5])],
            official={"placing": 1},
            by=cook,
        )
    assert state_of(entry) == before


def put_state(entry: Entry, state: Contest.State) -> None:
    contest = Contest.objects.get(pk=entry.contest_id)
    contest.state = state
    contest.save()


def state_of(entry: Entry) -> list[object]:
    """Everything that a save of this entry could have touched."""
    tables = (ScoreSheet, Mark, Result, CriterionResult, Entry, Contest)
    past = (ScoreSheet.history, Mark.history, Result.history, Entry.history)
    return [
        *(list(table.objects.order_by("pk").values()) for table in tables),
        *(rows.count() for rows in past),
    ]


def test_scores_freeze_the_rulebook_and_cook_the_contest(entry, cook):
    scored_entry(entry, [[9] * 5])
    entry.refresh_from_db()
    frozen = entry.rulebook.frozen_at
    assert frozen is not None
    assert entry.contest.state == Contest.State.COOKED
    scored_entry(entry, [[8] * 5])
    entry.rulebook.refresh_from_db()
    assert entry.rulebook.frozen_at == frozen


def test_an_empty_save_freezes_nothing_and_cooks_nothing(entry, cook):
    scored_entry(entry, [[None] * 5])
    entry.refresh_from_db()
    assert entry.rulebook.frozen_at is None
    assert entry.contest.state == Contest.State.ACCEPTED
    assert entry.result.basis == Result.Basis.NONE
    assert not ScoreSheet.objects.exists()


def test_a_contest_that_was_called_off_stays_off(entry):
    put_state(entry, Contest.State.CANCELLED)
    scored_entry(entry, [[9] * 5])
    entry.contest.refresh_from_db()
    assert entry.contest.state == Contest.State.CANCELLED


def test_what_was_posted_goes_to_the_entry_and_counts_as_a_write_to_it(entry, cook):
    posted = {
        "official_total": Decimal("201.5"),
        "placing": 7,
        "field_size": 25,
        "tied": True,
        "disqualified": True,
        "disqualified_why": "a pick in the box",
    }
    record_scores(entry=entry, seen=0, sheets=[], official=posted, by=cook)
    stored = Entry.objects.get(pk=entry.pk)
    assert {name: getattr(stored, name) for name in posted} == posted
    assert (stored.version, stored.changed_by) == (2, cook)
    assert entry.history.first().history_user == cook


def test_nothing_else_of_an_entry_can_be_written_here(entry, cook):
    with pytest.raises(ValidationError):
        record_scores(entry=entry, seen=0, sheets=[], official={"notes": "x"}, by=cook)


@pytest.mark.parametrize("judges", [2, 12])
def test_a_save_takes_as_many_queries_for_two_judges_as_for_twelve(
    judges, entry, cook, django_assert_num_queries
):
    sheets = typed_table(entry, [[9] * 5] * judges)
    with django_assert_num_queries(33):
        record_scores(entry=entry, seen=0, sheets=sheets, official={"placing": 1}, by=cook)
    with django_assert_num_queries(29):
        record_scores(
            entry=entry, seen=1, sheets=typed_table(entry, [[8] * 5] * judges), official={}, by=cook
        )


def test_saving_leaves_nothing_for_rescore_to_say(entry):
    scored_entry(entry, FIVE)
    assert list(actions.rescore(check=True)) == []


def test_an_entry_knows_whether_sheets_are_written(entry, member):
    """While there are any, its rulebook stays: contests asks this and nothing else."""
    entry = scored_entry(entry, [[9] * 5], by=member.user)
    assert entry.marked_at
    entry = scored_entry(entry, [], by=member.user)
    assert entry.marked_at is None
