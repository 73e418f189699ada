"""Tables as shoeboxes hold them, from the file to what would be made."""

import pytest

from teamops.contests.models import Contest, Entry
from teamops.judging.actions import rescore
from teamops.judging.imports import (
    guess,
    plan,
    read_file,
    read_text,
    take_in,
    template_csv,
    template_xlsx,
)
from teamops.judging.models import ScoreSheet
from tests.factories.contests import ContestFactory, EntryFactory
from tests.factories.judging import ScoreSheetFactory
from tests.factories.rules import RulebookFactory
from tests.judging.imports.tables import batch_of, wide_rows

BLOCKS = """
Season 2025,,,,,

Dry Creek Cook-Off - May 3 2025,,,,,
Judge,Appearance,Doneness,Taste,Texture,Overall
1,8,9,8.5,8,9
2,7,8,8,8,8
Total,15,17,16.5,16,17

"Long Lake (6/14/2025), Ada",,,,,
Judge,Appearance,Doneness,Taste,Texture,Overall
1,8,9,8.5,8,9
2,7,8,8,8,8
3,9,8,8,8,8
Average,8,8.33,8.17,8,8.33
"""


@pytest.fixture(autouse=True)
def book(db):
    return RulebookFactory(name="Open Slate")


def test_titles_over_blocks_name_the_contests(team):
    rows = read_text(BLOCKS).rows
    found = plan(team, rows, guess(rows, team))
    assert found.problems == ()
    assert found.creates == ("Two contests, two boxes and five sheets will be made.",)
    told = [row.words for row in found.rows if row.words.startswith("Makes the contest")]
    assert told[0].startswith("Makes the contest Dry Creek Cook-Off, 3 May 2025.")
    assert told[1].startswith("Makes the contest Long Lake, Ada, 14 June 2025.")
    assert [row.does for row in found.rows].count("new") == 5


@pytest.mark.parametrize(
    ("title", "name", "category"),
    [
        ("Dry Creek Night     Ribeye     3 May 2025", "Dry Creek Night", "Ribeye"),
        ("Strip | Dry Creek Night | May 3 2025", "Dry Creek Night", "Strip"),
        ("Ribeye Rally, chicken, 2025-05-03", "Ribeye Rally", "chicken"),
        ("Ribeye Rally 2025-05-03", "Ribeye Rally", "Ribeye"),
    ],
)
def test_a_category_in_a_title_is_no_part_of_the_name(team, title, name, category):
    text = f"{title}\n\nJudge  Appearance  Doneness  Taste\n1  8  9  8.5\n2  7  8  8\n"
    rows = read_text(text).rows
    found = plan(team, rows, guess(rows, team))
    assert found.problems == ()
    told = " ".join(row.words for row in found.rows)
    assert f"Makes the contest {name}, 3 May 2025. Makes the box of {category}." in told


def test_a_category_alone_over_a_block_holds_below_it(team):
    head = "Judge,Appearance,Doneness,Taste\n"
    rows = read_text(
        f"Dry Creek 2025-05-03,,,\nRibeye,,,\n{head}1,8,9,8\n\nChicken,,,\n{head}1,7,7,7\n"
    ).rows
    found = plan(team, rows, guess(rows, team))
    assert found.problems == ()
    assert "category" not in {one.key for one in found.questions}
    told = " ".join(row.words for row in found.rows)
    assert "Makes the box of Ribeye." in told
    assert "Makes the box of Chicken." in told
    assert found.creates == ("One contest, two boxes and two sheets will be made.",)


def test_a_title_without_a_day_counts_where_the_contest_is_known(team):
    rows = read_text("Our sheets,,\n\nDry Creek,,\nJudge,Taste,Texture\n1,8,9\n").rows
    columns = guess(rows, team)
    assert {row.does for row in plan(team, rows, columns).rows} == {"passed", "wrong"}
    ContestFactory(team=team, name="Dry Creek", held_on="2025-05-03")
    found = plan(team, rows, columns)
    assert found.is_good
    assert found.rows[2].words == "What the rows below are of."
    assert found.creates == ("One box and one sheet will be made.",)


def test_the_template_comes_in_as_it_is(team, cook):
    for data, name in ((template_csv(team), "t.csv"), (template_xlsx(team), "t.xlsx")):
        sheets = read_file(data, name)
        rows = sheets[0].rows
        columns = guess(rows, team)
        assert all(column.code not in ("", "skip") for column in columns.columns)
        found = plan(team, rows, columns)
        assert found.problems == ()
        assert found.creates == ("One contest, one box and two sheets will be made.",)
    assert [sheet.name for sheet in sheets] == ["Sheets", "What to fill in"]
    batch = batch_of(team, cook.user, rows)
    take_in(batch=batch, by=cook.user)
    entry = Entry.objects.for_team(team).get()
    assert (entry.placing, entry.field_size, entry.prize_owed) == (4, 21, 50)


def test_everything_of_a_season_in_one_table(team, cook):
    """Sheets, results and temperatures in one sheet, the merged way, with decimal commas."""
    rows = read_text(
        "Contest;Date;Place;Teams;Peak °C;Judge;Appearance;Doneness;Taste;Texture;Overall;Total\n"
        "Dry Creek;3.5.2025;4;21;54,5;1;8;9;8,5;8;9;42,5\n;;;;;2;8;9;8;8;9;42\n"
        ";;;;;3;8*;9;8;8;DQ;33\n"
        "Long Lake;14.6.2025;T-2;18;56;1;8;9;8,5;8;9;42,5\n;;;;;2;8;9;8;8;9;42\n"
    ).rows
    take_in(batch=batch_of(team, cook.user, rows), by=cook.user)
    first, second = Entry.objects.for_team(team).order_by("contest__held_on")
    assert (first.placing, first.field_size, str(first.peak_c)) == (4, 21, "54.5000")
    assert (second.placing, second.tied) == (2, True)
    assert first.contest.held_on.isoformat() == "2025-05-03"
    assert first.sheets.count() == 3
    assert first.sheets.get(seat="1").given_total == 42.5
    assert list(rescore(check=True)) == []


def test_sheets_go_to_the_box_that_is_there(team, cook, book):
    contest = ContestFactory(team=team, name="Dry Creek", held_on="2025-05-03")
    box = EntryFactory(contest=contest, category__name="Ribeye", rulebook=book)
    ScoreSheetFactory(entry=box, seat="1", marks=[8, 9, 8, 8, 9])
    rows = read_text("Contest\tDate\tJudge\tTaste\ndry creek\t2025-05-03\t2\t8\n").rows
    take_in(batch=batch_of(team, cook.user, rows), by=cook.user)
    assert Contest.objects.for_team(team).count() == 1
    assert [sheet.position for sheet in box.sheets.all()] == [1, 2]


@pytest.mark.parametrize("size", [2, 12])
def test_taking_in_asks_as_much_for_many_boxes_as_for_few(
    team, cook, size, django_assert_max_num_queries
):
    batch = batch_of(team, cook.user, wide_rows(size))
    with django_assert_max_num_queries(60):
        take_in(batch=batch, by=cook.user)
    assert ScoreSheet.objects.for_team(team).count() == 5 * size
