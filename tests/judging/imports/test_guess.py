"""What columns say, guessed over the shapes that tables come in."""

import pytest

from teamops.judging.imports import (
    FIELDS,
    Columns,
    criteria_of,
    field_choices,
    guess,
    read_file,
    read_text,
    remember,
    remembered,
)
from teamops.rules.actions import add_starter_rulebooks
from teamops.teams.models import Team


@pytest.fixture(autouse=True)
def books(db) -> None:
    add_starter_rulebooks()


def codes(columns: Columns) -> list[str]:
    return [f"{one.code}@{one.judge}" if one.judge else one.code for one in columns.columns]


def guessed(team: Team, text: str) -> Columns:
    return guess(read_text(text).rows, team)


def test_one_judge_a_row(team):
    columns = guessed(
        team,
        "Contest,Date,Category,Judge,Appearance,Doneness,Taste,Texture,Overall,Total\n"
        "Dry Creek,2025-05-03,Ribeye,1,8,9,8,7,8,40\n"
        "Dry Creek,2025-05-03,Ribeye,2,8,9,8,8,8,41\n",
    )
    assert codes(columns) == [
        "contest", "held_on", "category", "seat", "mark:appearance", "mark:doneness",
        "mark:taste", "mark:texture", "mark:overall impression", "judge_total",
    ]  # fmt: skip
    assert columns.layout == "wide"
    assert columns.heading == (1,)


def test_one_mark_a_row(team):
    columns = guessed(
        team,
        "Event;Date;Judge;Criterion;Score\nDry Creek;3.5.2025;1;Taste;8,5\n"
        "Dry Creek;3.5.2025;1;Texture;9\n",
    )
    assert codes(columns) == ["contest", "held_on", "seat", "criterion", "mark"]
    assert (columns.layout, columns.decimal) == ("long", ",")


def test_judges_across(team):
    columns = guessed(
        team,
        "Contest,Date,Criterion,Judge 1,Judge 2,Judge 3,Total\n"
        "Dry Creek,2025-05-03,Taste,8,9,8.5,25.5\nDry Creek,2025-05-03,Texture,8,9,9,26\n",
    )
    assert codes(columns) == [
        "contest", "held_on", "criterion", "mark@1", "mark@2", "mark@3", "criterion_total",
    ]  # fmt: skip
    assert columns.layout == "across"


def test_judges_totals_across(team):
    columns = guessed(
        team,
        "Contest,Date,J1,J2,J3,Total,Place\nDry Creek,2025-05-03,40,41.5,39,120.5,4\n"
        "Long Lake,2025-06-03,40,41.5,39,120.5,2nd\n",
    )
    assert codes(columns) == [
        "contest", "held_on", "judge_total@1", "judge_total@2", "judge_total@3", "posted_total",
        "placing",
    ]  # fmt: skip


MARKS = "Dry Creek,2025-05-03,8,9,7,7,8,8\nLong Lake,2025-06-03,8,9,7,7,8,8\n"


@pytest.mark.parametrize(
    "heading",
    [
        "Contest,Date,Judge 1,,,Judge 2,,\n,,Looks,Flavour,Tenderness,Looks,Flavour,Tenderness\n",
        "Contest,Date,J1 Looks,J1 Flavour,J1 Tenderness,J2 Looks,J2 Flavour,J2 Tenderness\n",
        "Contest,Date,Looks (1),Flavour (1),Tenderness (1),Looks (2),Flavour (2),Tenderness (2)\n",
        ",,Judge 1,,,Judge 2,,\nContest,Date,Looks,Flavour,Tenderness,Looks,Flavour,Tenderness\n",
        "Contest,Date,Looks 1,Flavour 1,Tenderness 1,Looks 2,Flavour 2,Tenderness 2\n",
    ],
)
def test_judges_over_criteria_with_merged_heads(team, heading):
    columns = guessed(team, heading + MARKS)
    assert codes(columns) == [
        "contest", "held_on", "mark:looks@1", "mark:flavour@1", "mark:tenderness@1",
        "mark:looks@2", "mark:flavour@2", "mark:tenderness@2",
    ]  # fmt: skip


@pytest.mark.parametrize("under", ["1,2,3,1,2,3", "J1,J2,J3,J1,J2,J3"])
def test_criteria_over_judges_with_merged_heads(team, under):
    columns = guessed(
        team,
        f"Season,,,,,,,\nContest,Date,Taste,,,Texture,,\n,,{under}\n"
        "Dry Creek,2025-05-03,8,9,7,7,8,8\nLong Lake,2025-06-03,8,9,7,7,8,8\n",
    )
    assert codes(columns)[2:] == [
        "mark:taste@1", "mark:taste@2", "mark:taste@3",
        "mark:texture@1", "mark:texture@2", "mark:texture@3",
    ]  # fmt: skip
    assert columns.heading == (2, 3)


def test_marks_below_the_heading_are_no_second_heading(team):
    columns = guessed(team, "Contest,Date,Looks,Flavour,Tenderness\nDry Creek,2025-05-03,1,2,3\n")
    assert columns.heading == (1,)


def test_results_with_whatever_people_note(team):
    columns = guessed(
        team,
        "Competition\tDate\tCity\tState\tDish\tBox #\tCooked by\tFinal score\tPlace\tTeams\t"
        "Winnings\tPull temp\tPeak (°F)\tSeen\tNotes\n"
        "Dry Creek\t5/3/2025\tAda\tTX\tRibeye\t14\tOrla\t182.5\tT-3\t25\t$50\t"
        "118\t131\tright\twind\n",
    )
    assert codes(columns) == [
        "contest", "held_on", "place", "skip", "category", "blind_number", "cook",
        "posted_total", "placing", "field_size", "prize", "pull_c", "peak_c", "doneness_seen",
        "notes",
    ]  # fmt: skip
    assert columns.columns[11].unit == "f"
    assert columns.left_out == ("State",)


@pytest.mark.parametrize(
    ("heading", "expected"),
    [
        ("Contest,Date,Score", "posted_total"),  # though one book has a criterion of that name
        ("Contest,Judge,Score", "mark:score"),
        ("Contest,Judge,Total", "judge_total"),
        ("Contest,Criterion,Score", "criterion_total"),
        ("Contest,Taste,Score", "posted_total"),
    ],
)
def test_a_score_is_what_the_other_columns_make_of_it(team, heading, expected):
    columns = guessed(team, f"{heading}\nDry Creek,1,8\nLong Lake,2,9\n")
    assert codes(columns)[2] == expected


def test_numbered_scores_are_the_judges_totals(team):
    columns = guessed(team, "Contest,Date,Score 1,Score 2\nDry Creek,2025-05-03,40,41\n")
    assert codes(columns)[2:] == ["judge_total@1", "judge_total@2"]


def test_totals_of_criteria_and_averages(team):
    columns = guessed(
        team,
        "Contest,Date,Taste total,Total texture,Average taste,Posted total,Our total\n"
        "Dry Creek,2025-05-03,40,41,8,180,181\n",
    )
    assert codes(columns) == [
        "contest", "held_on", "total:taste", "total:texture", "skip", "posted_total", "our_total",
    ]  # fmt: skip


def test_numbers_under_an_unknown_head_stay_open(team):
    columns = guessed(team, "Contest,Date,Taste,Juiciness\nDry Creek,2025-05-03,8,7.5\n")
    assert codes(columns)[3] == ""
    columns = guessed(team, "Contest,Date,Taste,Hometown\nDry Creek,2025-05-03,8,Ada\n")
    assert codes(columns)[3] == "skip"


def test_another_word_for_a_criterion_is_a_guess(team):
    columns = guessed(team, "Contest,Date,Presentation,Done\nDry Creek,2025-05-03,8,7.5\n")
    assert codes(columns)[2:] == ["", "mark:doneness"]  # appearance, or looks: two would fit
    assert columns.columns[3].sure == "likely"


@pytest.mark.parametrize(
    ("units", "days", "order", "doubts"),
    [
        ("us", "5/3/2025 6/13/2025", "mdy", ()),
        ("us", "5/3/2025 13/6/2025", "dmy", ()),
        ("us", "5/3/2025 6/7/2025", "mdy", ("day_order",)),
        ("si", "5/3/2025 6/7/2025", "dmy", ("day_order",)),
        ("us", "2025-05-03 2025-06-07", "mdy", ()),
        ("si", "5/5/2025", "dmy", ()),
    ],
)
def test_the_order_of_days(team, units, days, order, doubts):
    team.units = units
    rows = "".join(f"Contest {n},{day},8\n" for n, day in enumerate(days.split()))
    columns = guessed(team, f"Contest,Date,Taste\n{rows}")
    assert (columns.day_order, columns.doubts) == (order, doubts)


def test_columns_go_through_json_and_back(team):
    columns = guessed(team, "Contest,Date,J1,J2,Peak °C\nDry Creek,5/3/2025,40,41,55\n")
    columns = columns.with_answers({"category": "Ribeye"}).with_codes({2: "skip"})
    assert Columns.of(columns.as_dict()) == columns
    assert Columns.of({}) == Columns(())
    assert Columns.of({"columns": [{"unit": "k"}], "day_order": "?"}).day_order == "mdy"


def test_every_code_is_among_the_choices(team):
    choices = [code for _, group in field_choices(criteria_of(team)) for code, _ in group]
    assert len(choices) == len(set(choices))
    assert {"mark:taste", "total:flavour", "skip", "peak_c"} <= set(choices)
    assert {code for _, group in FIELDS for code, _ in group} <= set(choices)


def test_columns_are_remembered_by_their_headings(team, stranger):
    cells = read_text("Contest,Date,Juiciness\nDry Creek,2025-05-03,8\n").rows
    other = read_text("Notes of ours,,\nCONTEST,date,Juiciness:\nLong Lake,2025-06-03,8\n").rows
    assert remembered(team, cells) is None
    remember(team, cells, guess(cells, team).with_codes({2: "mark:taste"}).with_answers({"a": "b"}))
    again = remembered(team, other)
    assert again is not None
    assert codes(again) == ["contest", "held_on", "mark:taste"]
    assert again.heading == (2,)
    assert again.answers == {}
    assert remembered(stranger.team, cells) is None
    remember(team, cells, guess(cells, team).with_codes({2: "skip"}))
    assert codes(remembered(team, cells))[2] == "skip"


RAGGED = """
Dry Creek Cook-Off        Page 1 of 1

Judge   Appearance   Doneness   Taste   Texture   Overall
1       8            9          8.5     8         8.5
2       8.5          9          8       7.5       8

3       7            8          9       8         9
Total   23.5         26         25.5    23.5      25.5
"""


def test_ragged_text_from_a_pdf_is_read_like_a_file(team):
    table = read_text(RAGGED)
    columns = guess(table.rows, team)
    assert codes(columns)[:3] == ["seat", "mark:appearance", "mark:doneness"]
    assert table.rows[3][0] == "Judge"  # the row is the line it stood on
    assert read_file(RAGGED.encode(), "sheet.txt")[0].rows[-1] == table.rows[-1]


def test_a_table_copied_from_a_web_page(team):
    columns = guessed(
        team, "| Contest | Date | Taste |\n|---|---|---|\n| Dry Creek | 2025-05-03 | 8 |\n"
    )
    assert codes(columns) == ["contest", "held_on", "mark:taste"]


def test_a_head_merged_downward_beside_groups_of_heads(team):
    columns = guessed(
        team,
        "Ribeye envelopes,,,,,,,\nWhere,,Judge,Marks (1 to 10),,,Result,\n"
        "Contest,Date,,Appearance,Doneness,Taste,Total,Place\n"
        "Dry Creek,2025-05-03,J1,8,9,8,25,4\n,,J2,8.5,9,7,24.5,\n,,J3,7,9,7,23,\n",
    )
    assert codes(columns) == [
        "contest", "held_on", "seat", "mark:appearance", "mark:doneness", "mark:taste",
        "judge_total", "placing",
    ]  # fmt: skip
    assert columns.heading == (2, 3)
