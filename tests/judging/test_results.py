"""What is stored of an envelope, and that it is what the sheets come to."""

from decimal import Decimal
from io import StringIO
from uuid import uuid4

import pytest
from django.core.management import CommandError, call_command
from hypothesis import given, settings
from hypothesis import strategies as st

from teamops.contests.models import Entry
from teamops.judging.actions import TypedSheet, record_scores, store_results
from teamops.judging.models import CriterionResult, Result
from tests.factories.contests import EntryFactory
from tests.factories.judging import scored_entry
from tests.factories.rules import CriterionFactory, RulebookFactory
from tests.factories.teams import UserFactory

pytestmark = pytest.mark.django_db


def rescored(**options) -> str:
    out = StringIO()
    call_command("rescore", stdout=out, **options)
    return out.getvalue()


def weighted(*weights: str, **columns) -> Entry:
    book = RulebookFactory(criteria=0, **columns)
    for order, weight in enumerate(weights, start=1):
        CriterionFactory(rulebook=book, order=order, weight=weight, least=1, most=10)
    return EntryFactory(rulebook=book)


def test_a_criterions_account_adds_up():
    entry = scored_entry(table=[[9, 8, 9, 9, 9], [10, 7, 8, 8, 9]])
    lines = {line.criterion.key: line for line in entry.result.criteria.all()}
    assert (lines["appearance"].earned, lines["appearance"].lost) == (19, 1)
    assert (lines["doneness"].mean, lines["doneness"].judges) == (Decimal("7.5"), 2)
    assert entry.result.most == 100
    assert sum(line.lost for line in lines.values()) == 100 - entry.result.total


def test_a_dropped_sheet_is_in_the_mean_and_not_in_the_account():
    entry = weighted("1", drop_scope="sheet", drop_low=1, sheets_expected=3)
    result = scored_entry(entry, [[9], [8], [4]]).result
    (line,) = result.criteria.all()
    assert (result.total, result.sheets, result.sheets_counted) == (17, 3, 2)
    assert (line.earned, line.lost, line.mean, line.judges) == (17, 3, 7, 3)


def test_thirds_are_rounded_and_still_add_up():
    """Three averages of thirds: each part is kept to six places, their sum is the whole's."""
    entry = weighted("1", "1", "1", aggregate="mean")
    result = scored_entry(entry, [[9, 8, 7], [8, 8, 8], [7, 7, 9]]).result
    lines = list(result.criteria.all())
    assert result.total == Decimal("23.666667")
    assert sum(line.lost for line in lines) == result.most - result.total
    assert all(line.earned + line.lost == line.most for line in lines)


def test_an_average_that_stands_in_is_no_judge():
    entry = weighted("1", missing_sheet="average_remaining", sheets_expected=3)
    result = scored_entry(entry, [[9], [7]]).result
    assert (result.total, result.sheets, result.sheets_counted) == (24, 2, 2)
    assert result.criteria.get().judges == 2


def test_judge_totals_alone_have_a_total_and_no_criteria():
    entry = EntryFactory()
    sheets = [TypedSheet(uuid4(), given_total=Decimal(total)) for total in ("44", "42.5")]
    result = record_scores(entry=entry, seen=0, sheets=sheets, official={}, by=UserFactory())
    assert (result.basis, result.total) == (Result.Basis.JUDGE_TOTALS, Decimal("86.5"))
    assert not result.criteria.exists()


@pytest.mark.parametrize(
    ("posted", "basis"),
    [
        ({"official_total": Decimal("210.5"), "placing": 3}, Result.Basis.TOTAL),
        ({"placing": 3}, Result.Basis.PLACING),
        ({"disqualified": True}, Result.Basis.NONE),
    ],
)
def test_a_total_or_a_placing_alone_is_a_result_of_its_own(posted, basis):
    result = scored_entry(**posted).result
    assert (result.basis, result.total, result.most) == (basis, None, None)
    assert not result.criteria.exists()


def test_a_judge_with_only_a_total_among_marks_leaves_losses_untold():
    entry = EntryFactory()
    keys = list(entry.rulebook.criteria.values_list("pk", flat=True))
    sheets = [
        TypedSheet(uuid4(), dict.fromkeys(keys, Decimal(9))),
        TypedSheet(uuid4(), given_total=Decimal(40)),
    ]
    result = record_scores(entry=entry, seen=0, sheets=sheets, official={}, by=UserFactory())
    assert (result.basis, result.total) == (Result.Basis.MARKS, 85)
    assert {line.lost for line in result.criteria.all()} == {None}
    assert {line.mean for line in result.criteria.all()} == {9}
    assert "no_losses" in {flag["kind"] for flag in result.flags}


def test_panels_may_have_criteria_of_the_same_name_in_any_print_order():
    book = RulebookFactory(criteria=0, sheets_expected=1)
    for order, (panel, key) in enumerate([("blind", "taste"), ("site", "fire"), ("blind", "cut")]):
        CriterionFactory(rulebook=book, order=order, panel=panel, key=key, name=key)
    entry = EntryFactory(rulebook=book)
    keys = {row.key: row.pk for row in book.criteria.all()}
    blind = TypedSheet(uuid4(), {keys["taste"]: Decimal(9), keys["cut"]: Decimal(7)}, panel="blind")
    site = TypedSheet(uuid4(), {keys["fire"]: Decimal(8)}, panel="site")
    result = record_scores(entry=entry, seen=0, sheets=[site, blind], official={}, by=UserFactory())
    assert result.total == 24
    earned = {line.criterion.key: line.earned for line in result.criteria.all()}
    assert earned == {"taste": 9, "fire": 8, "cut": 7}


def test_a_total_too_large_to_keep_is_said_and_not_kept():
    entry = weighted("99999", "99999")
    result = scored_entry(entry, [["9999", "9999"]]).result
    assert (result.basis, result.total) == (Result.Basis.MARKS, None)
    assert [flag["kind"] for flag in result.flags][-1] == "no_total"
    assert rescored() == ""


def test_a_rulebook_without_criteria_keeps_what_was_posted():
    entry = EntryFactory(rulebook=RulebookFactory(criteria=0))
    result = scored_entry(entry, official_total=Decimal(88)).result
    assert result.basis == Result.Basis.TOTAL
    assert rescored() == ""


def test_rescore_is_silent_where_all_is_equal():
    scored_entry(table=[[9, 8, 9, 9, 9], ["9.5", None, 8, 11, "8.25"]], official_total=90)
    scored_entry(
        weighted("0.5714", "2.2858", "1.1428", drop_scope="sheet", drop_low=1), [[9, 8, 8]]
    )
    scored_entry(placing=4)
    assert rescored() == ""
    assert rescored(check=True) == ""


def test_rescore_says_what_differed_and_puts_it_right():
    entry = scored_entry(table=[[9, 8, 9, 9, 9]])
    entry.result.total = 1
    entry.result.save()
    CriterionResult.objects.filter(criterion__key="taste").update(lost=5)
    with pytest.raises(CommandError, match="2 stored numbers differ"):
        rescored(check=True)
    said = rescored()
    assert f"{entry}: total was 1.000000, is 44" in said
    assert "lost was 5.000000, is 1" in said
    assert Result.objects.get(entry=entry).total == 44
    assert rescored() == ""


def test_rescore_makes_a_result_that_was_never_kept():
    entry = EntryFactory(placing=2)
    assert "no result was kept" in rescored()
    assert Result.objects.get(entry=entry).basis == Result.Basis.PLACING
    assert rescored() == ""


def test_working_a_result_out_again_writes_nothing():
    entry = scored_entry(table=[[9, 8, 9, 9, 9]])
    before = Result.history.count()
    assert store_results(entry) == []
    assert Result.history.count() == before


MARKS = st.none() | st.decimals(0, 9999, places=3, allow_nan=False, allow_infinity=False)


@settings(max_examples=40, deadline=None)
@given(table=st.lists(st.lists(MARKS, min_size=5, max_size=5), max_size=7))
def test_any_table_that_can_be_stored_reads_back_exactly_and_adds_up(table):
    entry = scored_entry(EntryFactory(), table)
    stored = [
        [mark.points for mark in sheet.marks.all()]
        for sheet in entry.sheets.prefetch_related("marks")
    ]
    assert stored == [row for row in table if any(mark is not None for mark in row)]
    lines = list(entry.result.criteria.all())
    if lines and all(line.lost is not None for line in lines):
        assert sum(line.lost for line in lines) == entry.result.most - entry.result.total
    assert store_results(entry) == []
