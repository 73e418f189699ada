"""Sheets put right by one press, and what the judges decided: dated, in history, added up anew."""

from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse

from teamops.contests.models import Entry
from teamops.judging import actions, queries
from teamops.judging.actions import TypedSheet, record_scores
from teamops.judging.models import Correction, Mark, Result, ScoreSheet
from teamops.teams.versions import Conflict
from tests.factories.contests import EntryFactory
from tests.factories.judging import scored_entry
from tests.factories.rules import CriterionFactory, RulebookFactory
from tests.judging.pages import FIVE

pytestmark = pytest.mark.django_db


@pytest.fixture
def entry(team) -> Entry:
    return scored_entry(EntryFactory(contest__team=team, contest__past=True), FIVE)


@pytest.fixture
def twin(entry) -> Entry:
    """Our other box of the category, at the same table."""
    other = EntryFactory(
        contest=entry.contest, rulebook=entry.rulebook, category=entry.category, blind_number="77"
    )
    return scored_entry(other, [["7"] * 5] * 5)


def url_of(entry: Entry, name: str = "mend_sheets") -> str:
    return reverse(f"judging:{name}", args=[entry.contest.team.slug, entry.pk])


def press(entry: Entry, what: str, **more: object) -> dict[str, object]:
    return {"press": what, "seen": version(entry)} | more


def version(entry: Entry) -> int:
    return Result.objects.get(entry=entry).version


def total(entry: Entry) -> Decimal | None:
    return Result.objects.get(entry=entry).total


def test_a_sheet_that_is_not_ours_is_out_of_the_sums_and_written_down(signed_in, entry):
    sheet = entry.sheets.get(position=4)
    url, data = url_of(entry), press(entry, "not_ours", sheet=sheet.pk)
    page = signed_in.post(url, data, follow=True)
    assert total(entry) == 175
    words = "The sheet of judge 4 was not ours and is taken out: appearance 9, doneness 7,"
    assert words in page.text
    assert ScoreSheet.history.filter(id=sheet.pk, history_type="-").count() == 1
    assert Mark.history.filter(history_type="-").count() == 5
    again = signed_in.post(url, data, follow=True)
    assert "saved since you opened this page" in again.text
    assert Correction.objects.count() == 1
    assert list(actions.rescore(check=True)) == []


def test_two_columns_that_the_judge_swapped(signed_in, entry):
    sheet = entry.sheets.get(position=2)
    first, second = (entry.rulebook.criteria.get(key=key).pk for key in ("appearance", "texture"))
    data = press(entry, "columns", sheet=sheet.pk, first=first, second=second)
    page = signed_in.post(url_of(entry), data, follow=True)
    marks = {mark.criterion_id: mark.points for mark in sheet.marks.all()}
    assert (marks[first], marks[second]) == (Decimal("8.5"), Decimal("9.5"))
    assert total(entry) == 215
    assert "Judge 2: appearance and texture were swapped." in page.text
    assert Mark.history.filter(sheet_id=sheet.pk, history_type="~").count() == 2
    data |= {"second": first, "seen": version(entry)}
    page = signed_in.post(url_of(entry), data, follow=True)
    assert "Choose two columns of this sheet." in page.text
    assert Correction.objects.count() == 1


def test_all_sheets_of_two_boxes_change_places(signed_in, entry, twin):
    data = press(entry, "all", other=twin.pk, other_seen=version(twin))
    page = signed_in.post(url_of(entry), data, follow=True)
    assert (total(entry), total(twin)) == (175, 215)
    assert "All sheets swapped with our other box, number 77." in page.text
    assert set(Correction.objects.values_list("entry", flat=True)) == {entry.pk, twin.pk}
    signed_in.post(url_of(entry), data)  # the same press again
    assert (total(entry), total(twin)) == (175, 215)
    back = press(entry, "all", other=twin.pk, other_seen=version(twin))
    signed_in.post(url_of(entry), back)
    assert (total(entry), total(twin)) == (215, 175)
    assert list(actions.rescore(check=True)) == []


def test_one_sheet_changes_places_with_its_counterpart(signed_in, entry, twin):
    sheet = entry.sheets.get(position=3)
    data = press(entry, "sheet", sheet=sheet.pk, other=twin.pk, other_seen=version(twin))
    signed_in.post(url_of(entry), data)
    assert (total(entry), total(twin)) == (207, 183)
    sheet.refresh_from_db()
    assert (sheet.entry, sheet.position) == (twin, 3)
    assert ScoreSheet.history.filter(id=sheet.pk, history_type="~").count() == 1
    assert [row.position for row in entry.sheets.all()] == [1, 2, 3, 4, 5]


def test_a_sheet_without_a_counterpart_goes_over(signed_in, entry):
    twin = EntryFactory(contest=entry.contest, rulebook=entry.rulebook, category=entry.category)
    sheet = entry.sheets.get(position=1)
    data = press(entry, "sheet", sheet=sheet.pk, other=twin.pk, other_seen=0)
    signed_in.post(url_of(entry), data)
    twin.refresh_from_db()
    assert (total(entry), total(twin)) == (171, 44)
    assert twin.marked_at is not None


def test_boxes_of_two_categories_do_not_swap(signed_in, entry):
    dessert = EntryFactory(contest=entry.contest, rulebook=entry.rulebook, category__name="Dessert")
    data = press(entry, "all", other=dessert.pk, other_seen=0)
    page = signed_in.post(url_of(entry), data, follow=True)
    assert "Only two boxes of one category" in page.text
    assert total(entry) == 215


def test_another_teams_box_or_sheet_is_not_found(signed_in, entry):
    theirs = scored_entry(EntryFactory(), FIVE)
    data = press(entry, "all", other=theirs.pk, other_seen=1)
    assert signed_in.post(url_of(entry), data).status_code == 404
    data = press(entry, "not_ours", sheet=theirs.sheets.first().pk)
    assert signed_in.post(url_of(entry), data).status_code == 404
    assert (total(entry), total(theirs)) == (215, 215)
    assert signed_in.post(url_of(entry), {"press": "x"}).status_code == 400


def test_judged_by_another_book_that_morning(signed_in, entry):
    """Same keys keep their marks; what the other sheet has no place for stays in words."""
    book = RulebookFactory(criteria=0, team=entry.contest.team, sheets_expected=5)
    for order, key in enumerate(("taste", "appearance", "smoke"), start=1):
        CriterionFactory(rulebook=book, order=order, key=key, name=key.title(), weight=2)
    page = signed_in.get(url_of(entry))
    assert str(book) in page.text
    page = signed_in.post(url_of(entry), press(entry, "book", rulebook=book.pk), follow=True)
    entry = Entry.objects.get(pk=entry.pk)
    assert (entry.rulebook, entry.version) == (book, 2)
    assert total(entry) == 2 * (41 + Decimal("46.5"))
    assert (
        entry.sheets.first().comment == "Also marked: doneness 8, texture 9, overall impression 9."
    )
    assert f"Judged by {book}, not by" in page.text
    assert "doneness, in the comments" in page.text
    book.refresh_from_db()
    assert book.frozen_at
    assert list(actions.rescore(check=True)) == []


def test_totals_by_criterion_follow_to_another_book(entry, member):
    entry = EntryFactory(contest=entry.contest)
    row = entry.rulebook.criteria.get(key="taste")
    record_scores(
        entry=entry, seen=0, sheets=[], official={}, by=member.user,
        criterion_totals={row.pk: Decimal(40)},
    )  # fmt: skip
    other = RulebookFactory()
    actions.judge_by(entry=entry, rulebook=other, seen=1, by=member.user)
    assert entry.criterion_totals.get().criterion.rulebook == other
    assert total(entry) == 40


def test_a_helper_may_mend_and_not_change_the_book(client, helper, entry):
    client.force_login(helper.user)
    assert "another rulebook" not in client.get(url_of(entry)).text
    data = press(entry, "book", rulebook=RulebookFactory().pk)
    assert client.post(url_of(entry), data).status_code == 403
    assert client.post(url_of(entry), press(entry, "not_ours", sheet=uuid4())).status_code == 404


@pytest.mark.parametrize("judges", [2, 12])
def test_the_page_takes_as_many_queries_for_two_sheets_as_for_twelve(
    signed_in, team, judges, django_assert_num_queries
):
    entry = scored_entry(EntryFactory(contest__team=team), [["9"] * 5] * judges)
    with django_assert_num_queries(12):
        signed_in.get(url_of(entry))


def decided(entry: Entry, **more: object) -> dict[str, object]:
    return {"seen": Entry.objects.get(pk=entry.pk).version} | more


def test_what_was_decided_changes_the_total_at_once(signed_in, entry):
    url = url_of(entry, "settle_entry")
    page = signed_in.get(url)
    assert "Our total now: 215." in page.text
    page = signed_in.post(url, decided(entry, late="docked", late_points="5"), follow=True)
    assert "What was decided is kept" in page.text
    assert (total(entry), Result.objects.get(entry=entry).docked) == (210, 5)
    signed_in.post(url, decided(entry, late="zero", late_points="5"))
    assert total(entry) == 0
    assert Entry.objects.get(pk=entry.pk).late_points is None
    signed_in.post(url, decided(entry))
    assert total(entry) == 215
    assert list(actions.rescore(check=True)) == []


def test_a_disqualification_is_kept_with_why_it_was_taken_back(signed_in, entry):
    url = url_of(entry, "settle_entry")
    signed_in.post(url, decided(entry, disqualified="on", disqualified_why="a pick in the box"))
    why = {"disqualified_why": "a pick in the box", "overturned_why": "it was the next box"}
    signed_in.post(url, decided(entry, tie_way="draw", **why))
    row = Entry.objects.get(pk=entry.pk)
    assert (row.disqualified, row.overturned_why, row.tie_way) == (
        False,
        why["overturned_why"],
        "draw",
    )
    assert total(entry) == 215


def test_what_was_decided_meanwhile_is_told(signed_in, entry, member):
    old = decided(entry, late="zero")
    signed_in.post(url_of(entry, "settle_entry"), decided(entry, late="taken"))
    page = signed_in.post(url_of(entry, "settle_entry"), old)
    assert page.status_code == 409
    assert total(entry) == 215
    with pytest.raises(Conflict):
        actions.settle_entry(entry=entry, seen=1, decided={"late": "zero"}, by=member.user)


@pytest.mark.parametrize(
    "spoil", [{"late": "maybe"}, {"late": "docked", "late_points": "-1"}, {"late_points": "many"}]
)
def test_what_cannot_be_kept_is_told_beside_it(signed_in, entry, spoil):
    page = signed_in.post(url_of(entry, "settle_entry"), decided(entry, **spoil))
    assert page.status_code == 422
    assert page.context["form"].errors
    assert total(entry) == 215


def test_a_box_without_papers_gets_no_result_from_a_decision(member, team):
    entry = EntryFactory(contest__team=team)
    actions.settle_entry(entry=entry, seen=1, decided={"late": "out"}, by=member.user)
    assert not Result.objects.filter(entry=entry).exists()


def test_a_mark_of_another_rulebook_cannot_be_given_as_a_total(entry, member):
    with pytest.raises(actions.record.ValidationError):
        record_scores(
            entry=entry, seen=1, sheets=[TypedSheet(uuid4())], official={}, by=member.user,
            criterion_totals={CriterionFactory().pk: Decimal(1)},
        )  # fmt: skip
    assert queries.envelope(entry).total == 215
