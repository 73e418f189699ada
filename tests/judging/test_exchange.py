"""A table brought in by its pages: read, put right, taken in once, undone."""

from decimal import Decimal
from types import SimpleNamespace

import pytest
from django.urls import reverse

from teamops.contests.models import Contest
from teamops.judging.models import Mark, ScoreSheet
from teamops.judging.views.exchange import look
from teamops.tabular import csv_bytes, xlsx_bytes
from teamops.teams.models import ColumnMap, ImportBatch
from tests.factories.exchange import BOOK, HEADS, import_batch, table
from tests.factories.rules import RulebookFactory
from tests.judging.exchange_pages import bring_in, shown, upload, url

pytestmark = pytest.mark.django_db
State = ImportBatch.State


@pytest.fixture(autouse=True)
def book(db):
    return RulebookFactory(name=BOOK, edition="")


@pytest.fixture
def look_at(signed_in, team):
    """The page of an import, as text."""

    def get(batch: ImportBatch, query: str = "", **more) -> str:
        answer = signed_in.get(url("show_import", team, batch.pk) + query, **more)
        assert answer.status_code == 200
        return answer.content.decode()

    return get


def the_only(team) -> ImportBatch:
    return ImportBatch.objects.for_team(team).get()


def test_a_file_is_read_looked_through_and_taken_in(signed_in, team, look_at):
    rows = table(boxes=3)
    answer = signed_in.post(url("add_import", team), upload(csv_bytes(rows[0], rows[1:])))
    batch = the_only(team)
    assert answer.url == url("show_import", team, batch.pk)
    assert (batch.name, batch.rows, batch.state) == ("sheets.csv", 7, State.READ)
    html = look_at(batch)
    assert "Three contests, three boxes and six sheets will be made." in html
    assert "one judge’s sheet in each row" in html
    assert "Fire 0 · Fire 1 · Fire 2" in html, "three samples of the contests"
    assert "6 new" in html
    assert not Contest.objects.exists(), "looking keeps nothing"
    answer = bring_in(signed_in, batch)
    assert answer.url == url("import_progress", team, batch.pk)
    assert signed_in.get(answer.url).url == url("show_import", team, batch.pk)
    batch.refresh_from_db()
    assert batch.state == State.DONE
    assert ScoreSheet.objects.for_team(team).count() == 6
    assert Mark.objects.for_team(team).filter(points=Decimal("8.5")).count() == 30
    html = look_at(batch)
    assert "Three contests, three boxes and six sheets made." in html
    for name in ("insight:show_ledger", "contests:show_contests"):
        assert reverse(name, args=[team.slug]) in html


def test_pasted_text_is_read_like_a_file(signed_in, team, look_at):
    text = "\n".join("\t".join(row) for row in table(boxes=2))
    signed_in.post(url("add_import", team), {"text": text})
    batch = the_only(team)
    assert batch.name == "Pasted text"
    assert "Two contests, two boxes and four sheets will be made." in look_at(batch)


def test_of_a_workbook_the_sheet_with_scores_is_read_and_another_can_be_chosen(
    signed_in, team, look_at
):
    rows, few = table(boxes=2), table(boxes=1)
    book = {
        "Shopping": (("What", "Who"), [("Salt", "Orla")]),
        "2023": (few[0], few[1:]),
        "Both": (rows[0], rows[1:]),
    }
    signed_in.post(url("add_import", team), upload(xlsx_bytes(book), "book.xlsx"))
    batch = the_only(team)
    assert batch.rows == 3, "the first sheet that holds scores"
    html = look_at(batch)
    assert html.count('name="sheet"') == 3
    signed_in.post(url("show_import", team, batch.pk), {"sheet": "Both"})
    batch.refresh_from_db()
    assert (batch.rows, batch.cells) == (5, rows)
    assert "Two contests, two boxes and four sheets will be made." in look_at(batch)


def test_a_columns_meaning_is_put_right_and_remembered(signed_in, team, member, look_at):
    rows = table()
    rows[0][7] = "Tst?!"
    batch = import_batch(member, rows)
    sent = shown(look_at(batch))
    assert sent["column-7"] == "", "nobody knows what it says"
    assert "Say what the column “Tst?!” means" in look_at(batch)
    answer = signed_in.post(
        url("show_import", team, batch.pk), sent | {"column-7": "mark:taste", "read": "yes"}
    )
    assert answer.url.startswith(url("show_import", team, batch.pk))
    assert shown(look_at(batch))["column-7"] == "mark:taste"
    assert not ColumnMap.objects.exists(), "not before it is brought in"
    bring_in(signed_in, batch)
    assert Mark.objects.filter(criterion__name="Taste").count() == 2
    rows[1][0] = rows[2][0] = "Another Fire"
    signed_in.post(url("add_import", team), upload(csv_bytes(rows[0], rows[1:])))
    again = ImportBatch.objects.for_team(team).filter(state=State.READ).get()
    assert shown(look_at(again))["column-7"] == "mark:taste"


def test_days_and_decimals_can_be_read_the_other_way(signed_in, team, member, look_at):
    rows = table()
    for row in rows[1:]:
        row[1] = "05/03/2024"
    batch = import_batch(member, rows)
    sent = shown(look_at(batch))
    assert sent["day_order"] == "mdy", "a team that counts in pounds"
    signed_in.post(url("show_import", team, batch.pk), sent | {"day_order": "dmy", "decimal": ","})
    html = look_at(batch)
    assert (shown(html)["day_order"], shown(html)["decimal"]) == ("dmy", ",")
    bring_in(signed_in, batch, decimal=".")
    bring_in(signed_in, batch)
    assert Contest.objects.for_team(team).get().held_on.isoformat() == "2024-03-05"


def test_the_row_of_the_headings_is_put_right(signed_in, team, member, look_at):
    """Two tables below each other: the second one’s headings are pointed out."""
    rows = [["Date", "Contest", "Fee", *[""] * 7], ["2024-01-02", "Old Fire", "50", *[""] * 7]]
    rows += [*table(), *[["", ""] + [""] * 8]]
    rows[2][0] = "Heat name"
    batch = import_batch(member, rows)
    for row, named in ((1, "Date"), (3, "Heat name")):
        sent = shown(look_at(batch)) | {"heading": str(row)}
        signed_in.post(url("show_import", team, batch.pk), sent)
        batch.refresh_from_db()
        assert max(batch.columns["heading"]) == row
        assert batch.columns["columns"][0]["name"] == named
    for odd in ("", "0", "99", "x", "1" * 30):
        signed_in.post(url("show_import", team, batch.pk), {"heading": odd})
        batch.refresh_from_db()
        assert max(batch.columns["heading"]) == 3


def test_a_wrong_cell_is_named_and_put_right_on_the_page(signed_in, team, member, look_at):
    rows = table(boxes=40)
    rows[60][7] = "abc"
    batch = import_batch(member, rows)
    answer = bring_in(signed_in, batch)
    assert answer.status_code == 422
    assert "it is taken in whole or not at all" in answer.content.decode()
    assert not Contest.objects.exists()
    html = look_at(batch, "?only=problems")
    assert "Row 61, Taste: says “abc”, expected a mark such as 8 or 8.5." in html
    assert 'name="cell-61-7" value="abc"' in html
    assert html.count("<tr>") == 2, "the heading and the one row"
    query = url("show_import", team, batch.pk) + "?page=1&only=problems"
    answer = signed_in.post(query, shown(html) | {"cell-61-7": "9"})
    assert answer.url == query, "the same page of rows"
    assert "No row has a problem." in look_at(batch, "?only=problems")
    bring_in(signed_in, batch)
    assert ScoreSheet.objects.for_team(team).count() == 80


def test_what_was_not_shown_is_not_taken_in(signed_in, team, member):
    """A select changed and “Bring it in” pressed at once: the new rows are shown first."""
    batch = import_batch(member)
    answer = bring_in(signed_in, batch, **{"column-7": "skip"})
    assert answer.status_code == 422
    assert "here is what would happen now" in answer.content.decode()
    batch.refresh_from_db()
    assert batch.state == State.READ
    assert batch.columns["columns"][7]["code"] == "skip", "what was put right is kept"
    bring_in(signed_in, batch)
    batch.refresh_from_db()
    assert batch.state == State.DONE


def test_a_question_waits_for_its_answer(signed_in, team, member, look_at):
    other = RulebookFactory(name="Other book")
    rows = [[cell for place, cell in enumerate(row) if place != 3] for row in table()]
    batch = import_batch(member, rows)
    html = look_at(batch)
    name = next(name for name in shown(html) if name.startswith("answer:rulebook"))
    answer = bring_in(signed_in, batch, **{name: str(other.pk)})
    assert answer.status_code == 422, "an answer changes what would happen: it is shown first"
    bring_in(signed_in, batch)
    contest = Contest.objects.for_team(team).get()
    assert contest.entries.get().rulebook == other


def test_pressed_twice_it_is_taken_in_once(signed_in, team, member):
    batch = import_batch(member)
    first, second = bring_in(signed_in, batch), signed_in.post(url("take_in", team, batch.pk))
    assert first.url == second.url
    assert ScoreSheet.objects.for_team(team).count() == 2


def test_the_same_table_again_makes_nothing(signed_in, member, look_at):
    bring_in(signed_in, import_batch(member))
    again = import_batch(member)
    html = look_at(again)
    assert "2 here already" in html
    assert "All of it is here already" in html
    assert bring_in(signed_in, again).status_code == 422
    assert ScoreSheet.objects.count() == 2


def test_it_is_undone_and_can_be_looked_through_again(signed_in, team, member, look_at):
    batch = import_batch(member)
    bring_in(signed_in, batch)
    ask = signed_in.get(url("undo_import", team, batch.pk))
    assert "One contest, one box and two sheets made." in ask.content.decode()
    assert ScoreSheet.objects.count() == 2, "asking undoes nothing"
    signed_in.post(url("undo_import", team, batch.pk))
    assert not Contest.objects.exists()
    html = look_at(batch)
    assert "is undone" in html
    answer = signed_in.post(url("repeat_import", team, batch.pk))
    again = ImportBatch.objects.get(state=State.READ)
    assert answer.url == url("show_import", team, again.pk)
    assert again.cells == batch.cells


def test_what_was_built_upon_is_not_undone_and_it_says_so(signed_in, team, member):
    batch = import_batch(member)
    bring_in(signed_in, batch)
    Contest.objects.get().claim(seen=1, by=member.user)
    answer = signed_in.post(url("undo_import", team, batch.pk))
    assert answer.status_code == 409
    assert "Nothing was undone." in answer.content.decode()
    assert "Fire 0" in answer.content.decode()
    assert Contest.objects.exists()


def test_htmx_gets_the_part(look_at, member):
    html = look_at(import_batch(member), headers={"HX-Request": "true"})
    assert html.lstrip().startswith('<form id="import-board"')


def test_rows_come_fifty_a_page(look_at, member):
    batch = import_batch(member, table(boxes=60))
    assert "Rows 1 to 50 of 121" in look_at(batch)
    last = look_at(batch, "?page=3")
    assert "Rows 101 to 121 of 121" in last
    assert "Fire 59" in last
    assert "Rows 101 to 121" in look_at(batch, "?page=99"), "a page too far is the last one"
    assert "Rows 1 to 50" in look_at(batch, "?page=x")


@pytest.mark.parametrize("boxes", [2, 60])
def test_queries_do_not_grow_with_the_table(
    signed_in, team, member, boxes, django_assert_max_num_queries
):
    batch = import_batch(member, table(boxes=boxes))
    with django_assert_max_num_queries(18):
        signed_in.get(url("show_import", team, batch.pk))


def test_the_list_of_earlier_imports_is_one_query_more(
    signed_in, team, member, django_assert_max_num_queries
):
    for _ in range(5):
        import_batch(member)
    with django_assert_max_num_queries(4):
        html = signed_in.get(url("show_exchange", team)).content.decode()
    assert html.count("to be looked through") == 5


def test_a_reader_takes_out_and_does_not_bring_in(client, team, reader):
    client.force_login(reader.user)
    html = client.get(url("show_exchange", team)).content.decode()
    assert "Bring in what you have" not in html
    assert url("export_xlsx", team) in html
    assert client.post(url("add_import", team), {"text": "x"}).status_code == 403


def test_another_teams_import_is_not_found(signed_in, team, stranger):
    theirs = import_batch(stranger)
    for name in ("show_import", "import_progress", "undo_import"):
        assert signed_in.get(url(name, team, theirs.pk)).status_code == 404
    assert signed_in.post(url("take_in", team, theirs.pk)).status_code == 404


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_the_template_can_be_filled_in_and_brought(signed_in, team, ending, look_at):
    answer = signed_in.get(url("download_template", team, ending))
    assert f'filename="score-sheets-to-fill-in.{ending}"' in answer["Content-Disposition"]
    signed_in.post(url("add_import", team), upload(answer.content, f"filled.{ending}"))
    html = look_at(the_only(team))
    assert "One contest, one box and two sheets will be made." in html
    assert "needs a look" not in html


def test_short_is_said_by_rows(team, member, signed_in, monkeypatch):
    """Few rows are taken in while one waits; more go to the worker."""
    given = []
    worker = SimpleNamespace(enqueue=lambda *args: given.append(args))
    monkeypatch.setattr(look, "take_in_batch", worker)
    monkeypatch.setattr(look, "SHORT", 2)
    batch = import_batch(member)
    bring_in(signed_in, batch)
    batch.refresh_from_db()
    assert batch.state == State.QUEUED
    assert given == [(str(batch.pk), member.user.pk)]


def test_the_heads_are_the_ones_of_the_template(signed_in, team):
    """What the tests bring is what the template asks for."""
    answer = signed_in.get(url("download_template", team, "csv"))
    assert set(HEADS) - {"Rulebook"} <= set(
        answer.content.decode("utf-8-sig").split("\r\n")[0].replace('"', "").split(",")
    )
