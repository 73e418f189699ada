"""An entry beside its table, and its marks in a picture."""

from decimal import Decimal

import pytest

from teamops.insight.queries import entry_page
from teamops.insight.queries.marks import marks_picture
from teamops.insight.queries.tables import at_its_table
from tests.factories.contests import EntryFactory
from tests.factories.judging import PostingFactory, scored_entry
from tests.factories.rules import RulebookFactory
from tests.insight.pages import text_of

TABLE = [[9, 8, 9, 8.5, 9], [8, 7.5, 9, 9, 8], [10, 8, 8.5, 9, 9]]


@pytest.fixture
def entry(team):
    return scored_entry(EntryFactory(contest__team=team, contest__past=True), TABLE)


def posted(entry, *tables: str, **more):
    """A list with our 190 at the first table and totals a point apart, best first."""
    rows = [
        (place, f"Team {place}", Decimal(200 - place), {"table": table})
        for place, table in enumerate(tables, 1)
    ]
    rows.insert(9, (10, "Ours", Decimal(190), {"table": tables[0], "entry": entry}))
    return PostingFactory(contest=entry.contest, category=entry.category, rows=rows, **more)


def marks_of(entry):
    return marks_picture(entry_page(entry))


# At the table ------------------------------------------------------------------------------------


def test_the_page_holds_the_box_against_its_table_first(open_page, entry):
    posted(entry, *"ABABABABABABAB")
    page = text_of(open_page("show_entry", entry.pk))
    assert "At your table of 8 boxes you were 6th, 2 points below its middle; in the" in page
    assert "in the field 10th of 15." in page
    assert "no more than the draw of boxes makes by itself" in page


def test_the_newest_list_holds_and_boxes_that_are_out_do_not_count(entry):
    posted(entry, *"AAAABBBBBBBBBB", posted_on="2024-01-01")
    newest = posted(entry, *"ABABABABABABAB", posted_on="2024-02-01")
    first = newest.lines.get(order=1)
    first.note = "disqualified"
    first.save()
    words = at_its_table(entry)
    assert words[0].startswith("At your table of 7 boxes you were 5th")
    assert words[0].endswith("in the field 9th of 14.")


@pytest.mark.parametrize("spoil", [{"table": ""}, {"total": None}, {"entry": None}])
def test_without_a_table_or_a_total_nothing_is_said(entry, spoil):
    posting = posted(entry, *"ABABABABABABAB")
    posting.lines.filter(entry=entry).update(**spoil)
    assert at_its_table(entry) == ()


def test_without_a_list_nothing_is_said(entry, django_assert_num_queries):
    with django_assert_num_queries(1):
        assert at_its_table(entry) == ()


# The picture -------------------------------------------------------------------------------------


def test_every_mark_is_a_numbered_dot_on_one_scale(entry):
    found = marks_of(entry)
    assert [row.words for row in found.rows][:2] == ["Appearance, mean 9.00", "Doneness, mean 7.83"]
    assert [[dot.judge for dot in row.dots] for row in found.rows][1] == ["2", "1", "3"]
    doneness = found.rows[1].dots
    assert doneness[1].x == doneness[2].x
    assert [dot.level for dot in doneness] == [0, 0, 1]
    assert [mark for _, mark in found.ticks] == ["10", "9", "8", "7"]
    assert "Doneness: 8, 7.5, 8" in found.words


def test_marks_that_do_not_count_stand_in_brackets(team, open_page):
    book = RulebookFactory(sheets_expected=3, drop_scope="sheet", drop_low=1)
    entry = scored_entry(EntryFactory(contest__team=team, rulebook=book), TABLE)
    found = marks_of(entry)
    dropped = {dot.judge for row in found.rows for dot in row.dots if not dot.counts}
    assert len(dropped) == 1
    drawn = open_page("draw_entry", entry.pk, found.key).content.decode()
    assert f"({dropped.pop()})" in drawn
    assert "Doneness, mean 7.83" in drawn


def test_a_dark_page_has_its_own_picture_and_a_corrected_sheet_another(open_page, entry):
    key = marks_of(entry).key
    page = open_page("show_entry", entry.pk).content.decode()
    assert f"{key}.svg?theme=dark" in page
    light = open_page("draw_entry", entry.pk, key)
    dark = open_page("draw_entry", entry.pk, key, query="theme=dark")
    assert light.content != dark.content
    assert light["Cache-Control"] == "private, max-age=31536000, immutable"
    assert open_page("draw_entry", entry.pk, "older")["Cache-Control"] == "private, no-cache"


@pytest.mark.parametrize("table", [[], [[9, 8, 9, 8, 9]], [[None] * 5, [None] * 5]])
def test_fewer_than_two_judges_are_no_picture(team, open_page, table):
    entry = scored_entry(EntryFactory(contest__team=team), table)
    assert marks_of(entry) is None
    assert open_page("draw_entry", entry.pk, "key").status_code == 404
    assert "Marks by judge and criterion" not in text_of(open_page("show_entry", entry.pk))


def test_equal_marks_and_tenths_have_room(team):
    entry = scored_entry(EntryFactory(contest__team=team), [[9, 8.1, 9, 9, 9]] * 6)
    found = marks_of(entry)
    assert found.rows[0].levels == 6
    assert [mark for _, mark in found.ticks] == ["9", "8"]
