"""The score table's page: one address to read it, type it and save it."""

from datetime import UTC, datetime
from uuid import uuid4

import pytest
from django.urls import reverse

from teamops.contests.models import Entry
from teamops.judging.models import Mark, Result, ScoreSheet
from tests.factories.contests import EntryFactory
from tests.factories.judging import ScoreSheetFactory, scored_entry
from tests.factories.photos import EntryPhotoFactory
from tests.factories.rules import CriterionFactory, RulebookFactory
from tests.judging.pages import FIVE, sent, url_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def entry(team) -> Entry:
    return EntryFactory(contest__team=team, contest__past=True)


def cells(page) -> list[list[str]]:
    """What stands in the boxes of the page."""
    forms = page.context["sheets"].forms
    return [[str(field.value() or "") for _, field in form.cells] for form in forms]


def test_an_empty_table_has_a_row_for_each_judge_expected(signed_in, entry):
    page = signed_in.get(url_of(entry))
    assert page.status_code == 200
    assert cells(page) == [[""] * 5] * 5
    assert "Nothing is saved yet." in page.text


def test_a_typed_table_is_saved_and_shown(signed_in, entry):
    data = sent(entry, FIVE, official_total="214", placing="3", field_size="20", table="B")
    page = signed_in.post(url_of(entry), data, follow=True)
    assert "Saved: our total is 215." in page.text
    assert "Our sum 215, posted 214: 1 short." in page.text
    assert "Placed 3rd of 20." in page.text
    assert cells(page) == FIVE
    assert Result.objects.get(entry=entry).total == 215
    assert set(ScoreSheet.objects.values_list("table", flat=True)) == {"B"}
    assert page.context["posted"]["table"].value() == "B"


def test_what_is_odd_about_the_table_is_said_where_it_says_saved(signed_in, entry):
    data = sent(entry, [*FIVE, FIVE[0]], placing="12", field_size="10")
    page = signed_in.post(url_of(entry), data, follow=True)
    notice = page.text.split('id="notice"')[1].split("</div>")[0]
    assert "Saved" in notice
    assert "Placing 12 does not fit into a field of 10." in notice
    assert "Six sheets where five are expected" in notice


def test_the_save_is_told_on_the_contests_clock(signed_in, entry):
    entry.contest.time_zone = "America/Denver"
    entry.contest.save()
    signed_in.post(url_of(entry), sent(entry, FIVE))
    result = Result.objects.get(entry=entry)
    result.saved_at = datetime(2026, 6, 6, 20, 5, tzinfo=UTC)
    result.save()
    page = signed_in.get(url_of(entry))
    assert ", Sat 6 June, 2:05 pm (America/Denver)." in page.text


@pytest.mark.parametrize(
    ("posted", "said"),
    [
        ("215", "The posted total is the same as ours."),
        ("216.5", "Our sum 215, posted 216.5: 1.5 over."),
        ("201.5", "Our sum 215, posted 201.5: 13.5 short."),
    ],
)
def test_our_total_stands_beside_theirs_in_words(signed_in, entry, posted, said):
    page = signed_in.post(url_of(entry), sent(entry, FIVE, official_total=posted), follow=True)
    assert said in page.text


def test_a_posted_total_that_is_ours_rounded_is_no_difference(signed_in, team):
    book = RulebookFactory(criteria=0, sheets_expected=1)
    CriterionFactory(rulebook=book, order=1, weight="2.2972")
    entry = EntryFactory(contest__team=team, rulebook=book)
    page = signed_in.post(url_of(entry), sent(entry, [["9"]], official_total="20.67"), follow=True)
    assert "The posted total is ours, rounded." in page.text


@pytest.mark.parametrize("cell", ["8\0", "nine and a bit, they could not agree on it"])
def test_what_cannot_be_kept_is_told_beside_its_cell_with_all_else_typed(signed_in, entry, cell):
    table = [*FIVE[:2], ["9", cell, "7", "8", "9"]]
    page = signed_in.post(url_of(entry), sent(entry, table, placing="4", table="B"))
    assert page.status_code == 422
    assert cells(page) == table
    wrong = [row.wrong for grid in page.context["board"].grids for row in grid.rows]
    assert [len(words) for words in wrong] == [0, 0, 1]
    assert wrong[2][0].startswith("Doneness: ")
    assert page.context["posted"]["placing"].value() == "4"
    assert not Mark.objects.exists()
    assert not Result.objects.exists()


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("placing", "first", "Write a whole number, such as 7."),
        ("placing", "0", "Counting starts at 1."),
        ("field_size", "99999999999", "No field is that large: check the number."),
        ("official_total", "many", "“many” is not a number."),
        ("disqualified_why", "x" * 301, "at most 300 characters"),
        ("disqualified_why", "a\0b", "character"),
        ("table", "t" * 21, "at most 20 characters"),
    ],
)
def test_a_posted_figure_that_cannot_be_kept_is_told_beside_it(
    signed_in, entry, field, value, said
):
    page = signed_in.post(url_of(entry), sent(entry, FIVE, **{field: value}))
    assert page.status_code == 422
    assert said in " ".join(page.context["posted"].errors[field])
    assert cells(page) == FIVE
    assert not Mark.objects.exists()


def test_odd_marks_are_saved_with_a_sentence_each(signed_in, entry):
    table = [["11", "8.75", "", "8", "9"], *FIVE]
    page = signed_in.post(url_of(entry), sent(entry, table), follow=True)
    assert "Taste 11" not in page.text
    for words in (
        "Judge 1: Appearance 11 is off the scale, which goes from 1 to 10.",
        "Judge 1: Doneness 8.75 is between the steps: this book has half marks.",
        "Judge 1 left taste blank; the sheet counts what it has.",
        "Six sheets where five are expected; all of them are used.",
    ):
        assert words in page.text
    assert cells(page) == table


def test_a_printed_judge_total_is_checked_and_a_comment_kept(signed_in, entry):
    data = sent(entry, FIVE) | {"sheets-0-total": "43", "sheets-0-comment": "Nice sear"}
    page = signed_in.post(url_of(entry), data, follow=True)
    assert "marks add up to 44, the paper says 43; the marks are used." in page.text
    assert ScoreSheet.objects.get(position=1).comment == "Nice sear"


def test_only_totals_by_judge_add_up(signed_in, entry):
    data = sent(entry, [[""] * 5] * 3) | {f"sheets-{n}-total": "42,5" for n in range(3)}
    page = signed_in.post(url_of(entry), data, follow=True)
    assert "our total is 127.5" in page.text
    assert Result.objects.get(entry=entry).basis == Result.Basis.JUDGE_TOTALS


def test_the_dropped_sheet_is_named(signed_in, team):
    book = RulebookFactory(drop_scope="sheet", drop_low=1)
    entry = EntryFactory(contest__team=team, rulebook=book)
    page = signed_in.post(url_of(entry), sent(entry, FIVE), follow=True)
    assert "Judge 4: lowest, dropped" in page.text


def test_the_same_page_sent_twice_is_saved_once(signed_in, entry):
    data = sent(entry, FIVE, placing="3")
    for _ in range(2):
        answer = signed_in.post(url_of(entry), data)
        assert answer.status_code == 302
        assert answer["Location"].endswith(f"?saved={data['op']}")
    assert ScoreSheet.objects.count() == 5
    assert Result.objects.get(entry=entry).version == 1


def test_the_page_names_the_saves_that_need_no_draft_any_more(signed_in, entry):
    first, second = sent(entry, FIVE), sent(entry, FIVE, seen=1)
    for data in (first, second):
        signed_in.post(url_of(entry), data)
    page = signed_in.get(url_of(entry))
    assert page.context["saved_ops"] == f"{second['op']} {first['op']}"
    assert f'data-draft="{page.wsgi_request.user.pk}:{entry.pk}"' in page.text


def test_a_second_saver_sees_theirs_beside_mine_and_may_save_again(signed_in, entry):
    scored_entry(entry, FIVE, placing=2)
    mine = [["8", *FIVE[0][1:]], *FIVE[1:]]
    page = signed_in.post(url_of(entry), sent(entry, mine, seen=0))
    assert page.status_code == 409
    assert cells(page) == mine
    (grid,) = page.context["board"].grids
    assert [cell.theirs for cell in grid.rows[0].cells] == ["9", "", "", "", ""]
    assert "Placing 2." in page.text
    assert page.context["seen"] == 1
    assert Mark.objects.filter(points=8, sheet__position=1).count() == 1  # theirs, as it was
    page = signed_in.post(url_of(entry), sent(entry, mine, seen=page.context["seen"]), follow=True)
    assert cells(page) == mine
    assert Entry.objects.get(pk=entry.pk).placing == 2  # mine did not touch it


def test_an_emptied_row_is_taken_away(signed_in, entry):
    scored_entry(entry, FIVE)
    page = signed_in.get(url_of(entry))
    data = sent(entry, [[""] * 5, *FIVE[1:]], seen=1)
    for index, form in enumerate(page.context["sheets"].forms):
        data[f"sheets-{index}-id"] = form["id"].value()
    signed_in.post(url_of(entry), data)
    assert ScoreSheet.objects.count() == 4
    assert Result.objects.get(entry=entry).sheets == 4


def test_another_judge_can_be_added_without_a_script(signed_in, entry):
    page = signed_in.post(url_of(entry), sent(entry, FIVE, add=""))
    assert page.status_code == 200
    assert cells(page) == [*FIVE, [""] * 5]
    assert page.context["sheets"].forms[-1]["id"].value()
    assert not ScoreSheet.objects.exists()


def test_panels_have_tables_of_their_own(signed_in, team):
    book = RulebookFactory(criteria=0, sheets_expected=2)
    blind = CriterionFactory(rulebook=book, order=1, panel="blind", name="Taste")
    site = CriterionFactory(rulebook=book, order=2, panel="on site", name="Fire")
    entry = EntryFactory(contest__team=team, rulebook=book)
    page = signed_in.get(url_of(entry))
    assert [(grid.panel, len(grid.rows)) for grid in page.context["board"].grids] == [
        ("blind", 2),
        ("on site", 2),
    ]
    data = sent(entry) | {"sheets-TOTAL_FORMS": 2}
    data |= {"sheets-0-id": uuid4(), "sheets-0-panel": "blind", f"sheets-0-m{blind.pk}": "9"}
    data |= {"sheets-1-id": uuid4(), "sheets-1-panel": "on site", f"sheets-1-m{site.pk}": "8"}
    page = signed_in.post(url_of(entry), data, follow=True)
    assert "our total is 17" in page.text


def test_a_table_takes_no_more_than_sixty_sheets(signed_in, entry):
    page = signed_in.post(url_of(entry), sent(entry, [["9"]] * 61))
    assert page.status_code == 422
    assert "60" in " ".join(page.context["sheets"].non_form_errors())


@pytest.mark.parametrize(
    "spoil",
    [{"seen": ""}, {"seen": "-1"}, {"op": "x"}, {"op": ""}],
)
def test_a_page_that_is_not_whole_is_sent_back(signed_in, entry, spoil):
    assert signed_in.post(url_of(entry), sent(entry, FIVE) | spoil).status_code == 400
    assert not ScoreSheet.objects.exists()


@pytest.mark.parametrize("spoil", [{"sheets-TOTAL_FORMS": "x"}, {"sheets-0-id": "x"}])
def test_a_table_that_is_not_whole_is_told(signed_in, entry, spoil):
    assert signed_in.post(url_of(entry), sent(entry, FIVE) | spoil).status_code == 422
    assert not ScoreSheet.objects.exists()


def test_a_sheet_of_another_entry_is_not_found(signed_in, team, entry):
    ours = ScoreSheetFactory(entry=EntryFactory(contest__team=team), marks=[9] * 5)
    theirs = ScoreSheetFactory(marks=[9] * 5)
    for sheet in (ours, theirs):
        data = sent(entry, FIVE) | {"sheets-0-id": sheet.pk}
        assert signed_in.post(url_of(entry), data).status_code == 404
        assert sheet.marks.count() == 5
    assert not entry.sheets.exists()


def test_another_teams_entry_is_not_found(signed_in, member):
    theirs = EntryFactory()
    url = reverse("judging:record_scores", args=[member.team.slug, theirs.pk])
    assert signed_in.get(url).status_code == 404
    assert signed_in.post(url, sent(theirs, FIVE)).status_code == 404
    assert not ScoreSheet.objects.exists()


def test_a_stranger_finds_nothing(client, stranger, entry):
    client.force_login(stranger.user)
    assert client.get(url_of(entry)).status_code == 404
    assert client.post(url_of(entry), sent(entry, FIVE)).status_code == 404


def test_a_reader_reads_and_does_not_write(client, reader, entry):
    scored_entry(entry, [["9", "8.75", "9", "9", "9"]])
    client.force_login(reader.user)
    page = client.get(url_of(entry))
    assert "8.75" in page.text
    assert "between the steps" in page.text
    assert "<form id=" not in page.text
    assert client.post(url_of(entry), sent(entry, FIVE, seen=1)).status_code == 403
    assert ScoreSheet.objects.count() == 1


def test_a_helper_may_type(client, helper, entry):
    client.force_login(helper.user)
    assert client.post(url_of(entry), sent(entry, FIVE)).status_code == 302
    assert Result.objects.get(entry=entry).changed_by == helper.user


def test_who_saved_and_when_is_on_the_contests_clock(signed_in, member, entry):
    entry.contest.time_zone = "Pacific/Auckland"
    entry.contest.save()
    page = signed_in.post(url_of(entry), sent(entry, FIVE), follow=True)
    assert f'Saved by <span dir="auto">{member.user}</span>' in page.text
    assert "(Pacific/Auckland)" in page.text


@pytest.mark.parametrize("judges", [2, 12])
def test_the_page_takes_as_many_queries_for_two_judges_as_for_twelve(
    signed_in, entry, judges, django_assert_num_queries
):
    scored_entry(entry, [["9"] * 5] * judges)
    with django_assert_num_queries(10):
        signed_in.get(url_of(entry))


def test_photos_stand_beside_the_marks(client, helper, reader, entry):
    shown = EntryPhotoFactory(entry=entry)
    for member in (helper, reader):
        client.force_login(member.user)
        assert f"/photos/{shown.pk}/?size=small" in client.get(url_of(entry)).text


def test_readers_wait_with_the_photos_until_the_awards(client, reader, team):
    shown = EntryPhotoFactory(entry=EntryFactory(contest__team=team))  # the contest is to come
    client.force_login(reader.user)
    page = client.get(url_of(shown.entry)).text
    assert str(shown.pk) not in page
    assert "Photos are for those who cook and help" in page
