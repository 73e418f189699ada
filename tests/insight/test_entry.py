"""One entry's account: down to the last point, or plainly not."""

import io
from datetime import date
from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from teamops.contests.models import Entry
from teamops.insight.queries import entry_page
from teamops.insight.queries.entry import EntryPage
from teamops.judging.actions import TypedSheet, record_scores
from teamops.judging.models import Correction
from tests.factories.contests import EntryFactory
from tests.factories.judging import scored_entry
from tests.factories.rules import CriterionFactory, RulebookFactory
from tests.factories.teams import UserFactory
from tests.insight.pages import text_of

TABLE = [[9, 8, 9, 8.5, 9], [8, 7.5, 9, 9, 8], [10, 8, 8.5, 9, 9]]


def weighted_book():
    """Three weighted criteria from six judges, the lowest sheet dropped, missing ones averaged."""
    book = RulebookFactory(
        criteria=0, sheets_expected=6, sheets_least=1, drop_scope="sheet", drop_low=1,
        missing_sheet="average_remaining", penalty_mark=1,
    )  # fmt: skip
    for order, (name, weight) in enumerate(
        [("Looks", "0.56"), ("Flavour", "2.2972"), ("Tenderness", "1.1428")], start=1
    ):
        CriterionFactory(
            rulebook=book, order=order, key=name.lower(), name=name, weight=Decimal(weight),
            least=2, most=9, step=1,
        )  # fmt: skip
    return book


def page_of(entry: Entry) -> EntryPage:
    rows = Entry.objects.select_related("contest", "category", "rulebook", "cook_of_record")
    return entry_page(rows.get(pk=entry.pk))


def adds_up(page: EntryPage) -> bool:
    """What every line lost, with rounding and lateness, is exactly what the box lost in all."""
    lost = sum((line.lost for line in page.lines), Decimal(0)) + page.rounding + page.docked
    parts = all(line.most - line.lost == line.earned for line in page.lines)
    return lost == page.lost == page.most - page.total and parts


def test_the_account_goes_from_the_most_down_to_what_was_earned(db):
    page = page_of(
        scored_entry(table=TABLE, placing=3, field_size=42, official_total=Decimal("129.5"))
    )
    assert (page.most, page.total, page.lost) == (150, Decimal("129.5"), Decimal("20.5"))
    assert [line.lost for line in page.lines] == [
        3,
        Decimal("6.5"),
        Decimal("3.5"),
        Decimal("3.5"),
        4,
    ]
    assert adds_up(page)
    assert page.sentence == "Doneness cost most here: 6.5 of the 20.5 points lost."
    assert page.placing == "3rd of 42"
    assert page.posted_words == "The posted total is the same as ours."
    assert page.less == ()


def test_every_line_says_how_it_came_about(db):
    page = page_of(scored_entry(table=TABLE))
    assert page.lines[1].worked == (
        "Three marks count: 8, 7.5 and 8; together 23.5 of 30, 6.5 short."
    )
    assert [line.share for line in page.lines] == ["15 %", "32 %", "17 %", "17 %", "20 %"]
    assert page.shares_note == "Each part is rounded by itself; together they make 101 %."


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(table=st.lists(st.lists(st.integers(2, 9), min_size=3, max_size=3), min_size=2, max_size=8))
def test_any_table_under_weights_drops_and_averages_adds_up_exactly(db, table):
    """Thirds and seventh decimals included: nothing is lost on the way to the page."""
    page = page_of(scored_entry(EntryFactory(rulebook=weighted_book()), table))
    assert page.lines
    assert adds_up(page)


def test_a_dropped_sheet_is_marked_in_words(db):
    table = [[9, 9, 9], [8, 8, 8], [9, 8, 9], [9, 9, 8], [2, 2, 3], [8, 9, 9]]
    page = page_of(scored_entry(EntryFactory(rulebook=weighted_book()), table))
    rows = page.grids[0].rows
    assert [row.standing for row in rows] == ["", "", "", "", "lowest, dropped", ""]
    assert [cell.counts for cell in rows[4].cells] == [False] * 3
    assert adds_up(page)


def test_a_mark_dropped_alone_is_told_from_its_sheet(db):
    book = RulebookFactory(criteria=2, drop_scope="criterion", drop_low=1)
    page = page_of(scored_entry(EntryFactory(rulebook=book), [[9, 4], [5, 9], [8, 8]]))
    counts = [[cell.counts for cell in row.cells] for row in page.grids[0].rows]
    assert counts == [[True, False], [False, True], [True, True]]
    assert not any(row.standing for row in page.grids[0].rows)
    assert adds_up(page)


def test_odd_marks_are_pointed_out_and_counted(db):
    page = page_of(scored_entry(table=[[9, 8.75, 9, 9, 9], [9, 9, 11, 9, 9]]))
    odd = [cell.odd for row in page.grids[0].rows for cell in row.cells if cell.odd]
    assert len(odd) == 2
    assert "8.75 is between the steps" in odd[0]
    assert page.grids[0].rows[1].is_odd
    assert adds_up(page)


def test_a_blank_leaves_the_total_and_takes_the_account(db):
    """What was lost cannot be told by criterion, and nothing is made up in its place."""
    page = page_of(scored_entry(table=[[9, None, 9, 9, 9]] * 3))
    assert page.lines == ()
    assert page.total == 108
    assert page.less[0].startswith("Points lost cannot be told by criterion.")


@pytest.mark.parametrize(
    ("official", "words"),
    [
        ({"placing": 12}, "a placing and no points"),
        ({"official_total": Decimal("201.5")}, "one total and no judge’s sheet"),
        ({}, "No papers yet."),
    ],
)
def test_where_the_papers_gave_less_it_is_said(db, official, words):
    page = page_of(scored_entry(table=[], **official))
    assert words in page.less[0]
    assert (page.lines, page.grids) == ((), ())
    assert page.total is None


def test_judges_totals_alone_are_shown_as_such(db):
    entry = EntryFactory(contest__past=True)
    sheets = [TypedSheet(uuid4(), given_total=Decimal(total)) for total in (44, 41)]
    record_scores(entry=entry, seen=0, sheets=sheets, official={}, by=UserFactory())
    page = page_of(entry)
    assert "each judge’s total and no marks" in page.less[0]
    assert page.total == 85
    assert page.grids[0].columns == ()
    assert [row.total for row in page.grids[0].rows] == [44, 41]


def test_an_entry_that_was_never_scored_has_a_page(open_page, team):
    entry = EntryFactory(contest__team=team)
    answer = open_page("show_entry", entry.pk)
    assert "No papers yet." in text_of(answer)
    assert "Type its papers" in text_of(answer)


# Page and paper ----------------------------------------------------------------------------------


@pytest.fixture
def entry(team) -> Entry:
    entry = EntryFactory(contest__team=team, contest__past=True, contest__name="Gravel Bar Final")
    return scored_entry(
        entry, TABLE, official_total=Decimal("128.5"), placing=3, field_size=42, tied=True
    )


def test_the_page_shows_ours_beside_theirs(open_page, entry):
    page = text_of(open_page("show_entry", entry.pk))
    assert "Our sum 129.5, posted 128.5: 1 short." in page
    assert "differs from ours" in page
    assert "3rd of 42, tied" in page
    assert "150 less 20.5 lost is 129.5." in page
    assert "Doneness cost most here: 6.5 of the 20.5 points lost." in page


def test_every_figure_opens_to_its_sheets(open_page, entry, team):
    page = open_page("show_entry", entry.pk).content.decode()
    assert "How this is worked out" in page
    assert page.count(reverse("judging:record_scores", args=[team.slug, entry.pk])) == 2
    assert reverse("rules:show_rulebook", args=[team.slug, entry.rulebook.pk]) in page


def test_parts_that_do_not_make_100_say_so_on_page_and_paper(open_page, entry):
    note = "Each part is rounded by itself; together they make 101 %."
    assert note in text_of(open_page("show_entry", entry.pk))
    assert note in paper(open_page("print_entry", entry.pk))


@pytest.mark.parametrize(
    ("book", "words"),
    [
        ({"direction": "low"}, "The lowest total wins, so no points are lost."),
        (
            {"aggregate": "rank_sum"},
            "The marks are placings that are added up, so no points are lost.",
        ),
        ({"aggregate": "median"}, "Not every mark that counts is in the total, so what each"),
    ],
)
def test_a_rulebook_that_knows_no_losses_says_why_once(open_page, team, book, words):
    entry = EntryFactory(
        contest__team=team, contest__past=True, rulebook=RulebookFactory(criteria=2, **book)
    )
    scored_entry(entry, [[1, 2], [2, 1], [1, 1]])
    answer = open_page("show_entry", entry.pk)
    (less,) = answer.context["page"].less
    assert less.startswith(words)
    assert "Where the points went" not in text_of(answer)
    said = paper(open_page("print_entry", entry.pk))
    assert words in said
    if "aggregate" not in book or book["aggregate"] == "rank_sum":
        assert answer.context["page"].most is None
        assert " of " not in said.partition("Our total ")[2][:12]


def test_a_rulebook_without_a_highest_mark_says_of_which(open_page, team):
    book = RulebookFactory(criteria=0)
    CriterionFactory(rulebook=book, order=1)
    CriterionFactory(rulebook=book, order=2, name="Bonus", most=None)
    entry = EntryFactory(contest__team=team, contest__past=True, rulebook=book)
    scored_entry(entry, [[9, 2], [8, 1]])
    (words,) = open_page("show_entry", entry.pk).context["page"].less
    assert words.startswith("The rulebook does not say the highest mark for bonus, so")


def test_a_disqualified_box_says_why(open_page, team):
    entry = EntryFactory(contest__team=team, contest__past=True)
    scored_entry(entry, TABLE, disqualified=True, disqualified_why="A <pick> in the box.")
    page = text_of(open_page("show_entry", entry.pk))
    assert "A &lt;pick&gt; in the box." in page


def test_a_reader_may_look_and_is_not_asked_to_type(client, reader, team):
    client.force_login(reader.user)
    entry = EntryFactory(contest__team=team)
    page = text_of(client.get(reverse("insight:show_entry", args=[team.slug, entry.pk])))
    assert "Type its papers" not in page
    assert "See the sheets" in page


@pytest.mark.parametrize("name", ["show_entry", "print_entry"])
def test_another_teams_entry_is_not_found(open_page, name):
    assert open_page(name, EntryFactory().pk).status_code == 404


@pytest.mark.parametrize("judges", [1, 9])
def test_the_page_takes_twelve_queries_however_many_judges(
    open_page, team, judges, django_assert_num_queries
):
    entry = scored_entry(EntryFactory(contest__team=team), [[9, 8, 9, 9, 9]] * judges)
    with django_assert_num_queries(13):  # three of them sign in
        open_page("show_entry", entry.pk)


def test_what_was_corrected_stands_on_the_page(open_page, entry, member):
    Correction.objects.create(
        entry=entry, corrected_on=date(2025, 6, 19), what="Placing 4th → 3rd.",
        why="protest upheld", recorded_by=member.user,
    )  # fmt: skip
    page = text_of(open_page("show_entry", entry.pk))
    assert "Placing 4th → 3rd." in page
    assert "protest upheld" in page


def paper(answer) -> str:
    assert answer["Content-Type"] == "application/pdf"
    return " ".join(
        " ".join(
            page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages
        ).split()
    )


def test_the_report_says_what_the_page_says(open_page, entry):
    words = paper(open_page("print_entry", entry.pk))
    for piece in (
        "Ribeye: Gravel Bar Final", "Our total 129.5 of 150", "Posted total 128.5",
        "3rd of 42, tied", "Our sum 129.5, posted 128.5: 1 short.", "Score sheets",
        "Doneness cost most here: 6.5 of the 20.5 points lost.", "Judge 3", "Earned 150 129.5 20.5",
        f"/results/{entry.pk}/",
    ):  # fmt: skip
        assert piece in words, piece


@pytest.mark.parametrize("size", ["letter", "A4"])
def test_the_report_of_a_full_table_is_one_page(open_page, team, size):
    """Six judges, a posted total, a rule that drops, notes: what an ordinary evening brings."""
    team.paper = size
    team.save()
    book = RulebookFactory(sheets_expected=6, drop_scope="sheet", drop_low=1)
    entry = EntryFactory(
        contest__team=team, contest__past=True, contest__place="Harrowmarch Fairground",
        rulebook=book, team_number="14", blind_number="1136",
        notes="Tied on the total; the taste marks put us level as well. " * 2,
    )  # fmt: skip
    table = [[9, 8.5, 9, 8, 9], [8, 9, 9, 8.5, 9], [9.5, 8, 9, 9, 9], [8.5, 8, 8, 8, 8]] * 2
    scored_entry(entry, table[:6], official_total=Decimal(220), placing=3, field_size=42, tied=True)
    answer = open_page("print_entry", entry.pk)
    assert len(PdfReader(io.BytesIO(answer.content)).pages) == 1


def test_the_report_words_its_days_as_every_paper_does(open_page, team):
    entry = EntryFactory(contest__team=team, contest__held_on=date(2027, 5, 29))
    words = paper(open_page("print_entry", scored_entry(entry, TABLE).pk))
    assert "Score report · Saturday, 29 May 2027" in words
    assert "Printed Tue 1 Jun 2027" in words


def test_a_dropped_sheet_is_marked_on_paper(open_page, team):
    table = [[9, 9, 9], [8, 8, 8], [9, 8, 9], [9, 9, 8], [2, 2, 3], [8, 9, 9]]
    entry = EntryFactory(contest__team=team, contest__past=True, rulebook=weighted_book())
    words = paper(open_page("print_entry", scored_entry(entry, table).pk))
    assert "Judge 5 2 2 3 9.1428 lowest, dropped" in words


def test_the_report_of_a_placing_makes_nothing_up(open_page, team):
    entry = EntryFactory(contest__team=team, contest__past=True)
    words = paper(open_page("print_entry", scored_entry(entry, [], placing=12).pk))
    assert "a placing and no points" in words
    assert "Where the points went" not in words


@pytest.mark.parametrize(("size", "width"), [("letter", 612), ("A4", 595)])
def test_the_report_fits_the_teams_paper(open_page, entry, team, size, width):
    team.paper = size
    team.save()
    answer = open_page("print_entry", entry.pk)
    box = PdfReader(io.BytesIO(answer.content)).pages[0].mediabox
    assert int(box.width) == width
