"""Ragged lists, all invented, as they come out of a PDF, a web page or a spreadsheet."""

from contextlib import suppress
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teamops.calc.reading import (
    Kind,
    Meaning,
    Ours,
    Separator,
    Sure,
    Unreadable,
    field_rows,
    find_ours,
    read,
)

THREE = [(1, "Smoke Wagon", "190.5"), (2, "Oak and Ash", "188"), (3, "Route 66 Smokers", "187.25")]
TEXTS = {
    "tabs with a heading": (
        Separator.TAB,
        (
            "Place\tTeam\tTotal\n1\tSmoke Wagon\t190.5\n2\tOak and Ash\t188\n"
            "3\tRoute 66 Smokers\t187.25\n"
        ),
    ),
    "tabs without a heading": (
        Separator.TAB,
        "1\tSmoke Wagon\t190.5\n2\tOak and Ash\t188\n3\tRoute 66 Smokers\t187.25",
    ),
    "a PDF's spaces, a page head again, an average": (
        Separator.SPACES,
        """
           County Fair Ribeye Results           Page 1 of 2
Place   Team                      Total
1st     Smoke Wagon               190.50
2nd     Oak and Ash               188.00
Place   Team                      Total
3rd     Route 66 Smokers          187.25
        Average                   188.6
""",
    ),
    "single spaces": (
        Separator.WORDS,
        "Ribeye results\n1. Smoke Wagon 190.5\n2. Oak and Ash 188\n3. Route 66 Smokers 187.25",
    ),
    "dots that lead to the total": (
        Separator.SPACES,
        (
            "1. Smoke Wagon ........ 190.5\n2. Oak and Ash ........ 188\n"
            "3. Route 66 Smokers ... 187.25"
        ),
    ),
    "bars, as web posts draw tables": (
        Separator.PIPE,
        (
            "| # | Team | Score |\n|---|:----|----:|\n| 1 | Smoke Wagon | 190.5 |\n"
            "| 2 | Oak and Ash | 188 |\n| 3 | Route 66 Smokers | 187.25 |"
        ),
    ),
    "semicolons and decimal commas, headings we do not know": (
        Separator.SEMICOLON,
        (
            "Platz;Mannschaft;Punkte\n1;Smoke Wagon;190,5\n2;Oak and Ash;188\n"
            "3;Route 66 Smokers;187,25"
        ),
    ),
    "commas": (
        Separator.COMMA,
        "1,Smoke Wagon,190.5\n2,Oak and Ash,188\n3,Route 66 Smokers,187.25",
    ),
    "commas with room, and decimal commas": (
        Separator.COMMA,
        "1, Smoke Wagon, 190,5\n2, Oak and Ash, 188,0\n3, Route 66 Smokers, 187,25",
    ),
    "each cell on a line of its own": (
        Separator.STACKED,
        (
            "Place\nTeam\nScore\n1\nSmoke Wagon\n190.5\n2\nOak and Ash\n188\n3\nRoute 66 Smokers\n"
            "187.25\nThanks to all!"
        ),
    ),
    "a bulleted post": (
        Separator.WORDS,
        "• 1st Smoke Wagon - 190.5\n• 2nd Oak and Ash - 188\n• 3rd Route 66 Smokers - 187.25",
    ),
    "medals and words, as posts are written": (
        Separator.WORDS,
        (
            "🏆 Ribeye results 🏆\n🥇 Smoke Wagon – 190.5 points\n🥈 Oak and Ash – 188 pts\n"
            "🥉 Route 66 Smokers – 187.25 points"
        ),
    ),
    "places in words, totals in brackets": (
        Separator.WORDS,
        (
            "1st Place: Smoke Wagon (190.5)\n2nd Place: Oak and Ash (188)\n"
            "3rd Place: Route 66 Smokers (187.25)"
        ),
    ),
    "each cell on a line that ends in a tab": (
        Separator.STACKED,
        "1\t\nSmoke Wagon\t\n190.5\n2\t\nOak and Ash\t\n188\n3\t\nRoute 66 Smokers\t\n187.25",
    ),
    "single spaces under single-spaced heads": (
        Separator.WORDS,
        (
            "Place Team Total\n1 Smoke Wagon 190.5\n2 Oak and Ash 188\n"
            "3 Route 66 Smokers 187.25\nDQ Pit Row"
        ),
    ),
    "carriage returns, hard spaces, a byte-order mark": (
        Separator.TAB,
        "\ufeff1\tSmoke\xa0Wagon\t190.5\r\n2\tOak and Ash\t188\r\n3\tRoute 66 Smokers\t187.25\r\n",
    ),
    "places that say their endings, units after the totals": (
        Separator.SPACES,
        (
            "1st   Smoke Wagon   190.5 pts\n2nd   Oak and Ash   188 pts\n"
            "3rd   Route 66 Smokers   187.25 pts"
        ),
    ),
}


@pytest.mark.parametrize("name", TEXTS)
def test_the_same_three_entries_are_read_from_every_text(name):
    separator, text = TEXTS[name]
    reading = read(text)
    assert reading.separator is separator
    rows = field_rows(reading)
    assert [(row.placing, row.name, row.total) for row in rows if not row.out] == [
        (place, team, Decimal(total)) for place, team, total in THREE
    ]


def test_more_heads_than_columns_keep_to_their_ends():
    text = "Place Team Cook Table Score\n1 Smoke Wagon J Pike 3 190.5\n2 Oak Hale 1 188\nx\n"
    reading = read(text)
    assert [(column.heading, column.meaning) for column in reading.columns] == [
        ("Place", Meaning.PLACE), ("Team", Meaning.NAME), ("Table", Meaning.TABLE),
        ("Score", Meaning.TOTAL),
    ]  # fmt: skip
    assert field_rows(reading)[0].name == "Smoke Wagon J Pike"


def test_heads_sums_and_page_numbers_are_no_entries():
    kinds = [line.kind for line in read(TEXTS[list(TEXTS)[2]][1]).lines]
    assert kinds == [
        Kind.WORDS, Kind.HEADING, Kind.ENTRY, Kind.ENTRY, Kind.REPEATED, Kind.ENTRY, Kind.SUM,
    ]  # fmt: skip


def test_headings_make_a_guess_sure_and_cells_alone_make_it_likely():
    with_heads, without = (read(TEXTS[name][1]) for name in list(TEXTS)[:2])
    assert {column.sure for column in with_heads.columns} == {Sure.SURE}
    assert {column.sure for column in without.columns} == {Sure.LIKELY}


def test_shared_places_those_out_and_a_wrapped_name():
    text = """Place   Team                      Number   Total
1       Smoke Wagon               101      190.50
T-2     The Very Long Named       55       187.25
        Smoke Company
T-2     Oak and Ash               12       187.25
        Pit Row                   9        DQ
DNT     Lone Star                 33
"""
    rows = field_rows(read(text))
    assert [row.name for row in rows] == [
        "Smoke Wagon", "The Very Long Named Smoke Company", "Oak and Ash", "Pit Row", "Lone Star",
    ]  # fmt: skip
    assert [row.placing for row in rows] == [1, 2, 2, None, None]
    assert [row.shared for row in rows] == [False, True, True, False, False]
    assert [row.out for row in rows] == ["", "", "", "disqualified", "did not turn in"]
    assert [row.number for row in rows] == ["101", "55", "12", "9", "33"]


def test_a_record_broken_in_two_lines_is_put_together():
    text = "1\tSmoke Wagon\t190.5\n2\tThe Very Long\nNamed Smoke Company\t188\n3\tPit Row\t187\n"
    names = [row.name for row in field_rows(read(text))]
    assert names == ["Smoke Wagon", "The Very Long Named Smoke Company", "Pit Row"]


def test_a_cell_in_quotes_goes_on_on_the_next_line():
    text = 'Place,Team,Total\n1,"Smoke Wagon\nof the Plains",190\n2,"Oak, Ash & Co",188\n'
    assert [row.name for row in field_rows(read(text))] == [
        "Smoke Wagon of the Plains",
        "Oak, Ash & Co",
    ]


def test_criterion_totals_and_tables_are_told_by_their_heads():
    text = "Pl\tTeam\tTbl\tAppearance\tZing\tTotal\n1\tPit Row\t3\t40.5\t80\t120.5\n"
    reading = read(text, criteria=["Zing"])
    assert [column.meaning for column in reading.columns] == [
        Meaning.PLACE, Meaning.NAME, Meaning.TABLE, Meaning.PART, Meaning.PART, Meaning.TOTAL,
    ]  # fmt: skip
    (row,) = field_rows(reading)
    assert row.table == "3"
    assert dict(row.parts) == {"Appearance": "40.5", "Zing": "80"}


def test_heads_may_be_the_first_letters_of_criteria():
    text = "Place\tTeam\tDone\tText\tTotal\n1\tOak\t40\t38\t78\n"
    columns = read(text, criteria=["Doneness", "Texture"]).columns
    assert {column.sure for column in columns} == {Sure.SURE}


def test_a_title_beside_a_page_number_is_no_entry():
    text = """            County Fair Ribeye                        Page 1 of 2
Place   Team                           Number  App    Total
1       Smoke Wagon                    101     40     197.5
2       Oak and Ash                    12      39     192
"""
    assert [row.name for row in field_rows(read(text))] == ["Smoke Wagon", "Oak and Ash"]


def test_without_heads_the_total_is_the_column_that_the_others_add_up_to():
    text = "12\tOak and Ash\t9\t8\t17\n101\tSmoke Wagon\t8\t8\t16\n5\tPit Row\t7\t8\t15\n"
    columns = read(text).columns
    assert [column.meaning for column in columns] == [
        Meaning.NUMBER, Meaning.NAME, Meaning.PART, Meaning.PART, Meaning.TOTAL,
    ]  # fmt: skip
    assert columns[4].sure is Sure.SURE


def test_numbers_run_together_in_one_cell_are_taken_apart():
    text = "1   Oak and Ash   9 8.5 17.5\n2   Pit Row   8 9 17\n3   Smoke Wagon   8 8 16"
    first = field_rows(read(text))[0]
    assert first.total == Decimal("17.5")
    assert [value for _, value in first.parts] == ["9", "8.5"]


def test_a_name_that_ends_in_a_number_keeps_it():
    text = "1. Highway 61 172.5\n2. Route 66 171\n3. Pit Row 170.5\n4. Studio 54 169"
    rows = field_rows(read(text))
    assert [row.name for row in rows] == ["Highway 61", "Route 66", "Pit Row", "Studio 54"]
    only_names = "1. Highway 61\n2. Pit Row\n3. Oak and Ash\n4. Smoke Wagon"
    assert field_rows(read(only_names))[0].name == "Highway 61"


def test_numbers_with_a_hash_are_told_from_the_name():
    first = field_rows(read("1  #12 Oak and Ash   188\n2  #7 Pit Row   187\n"))[0]
    assert (first.number, first.name) == ("12", "Oak and Ash")
    first = field_rows(read("1\tOak and Ash (#12)\t188\n2\tPit Row (#7)\t187\n"))[0]
    assert (first.number, first.name) == ("12", "Oak and Ash")


def test_what_cannot_be_read_is_said_and_the_rest_kept():
    text = "Place\tTeam\tTotal\n1st\tPit Row\tsee judge\n2nd\tOak\t12345678\n3rd\tAsh\t150\n"
    reading = read(text).with_meanings({2: Meaning.TOTAL})
    rows = field_rows(reading)
    assert [row.total for row in rows] == [None, None, Decimal(150)]
    assert rows[0].says == ("“see judge” is no total.",)
    assert "too large" in rows[1].says[0]
    long = field_rows(read(f"Place\tTeam\n1\t{'x' * 200}\n2\tOak\n"))[0]
    assert len(long.name) == 120
    assert long.says


def test_a_guess_is_put_right_and_applied_again():
    reading = read("12\tOak and Ash\t188\n7\tPit Row\t187\n3\tSmoke Wagon\t186\n")
    assert reading.columns[0].meaning is Meaning.NUMBER
    right = reading.with_meanings({0: Meaning.TABLE}).with_lines(out={2}, kept=set())
    assert right.columns[0].sure is Sure.SURE
    assert [(row.table, row.name) for row in field_rows(right)] == [
        ("12", "Oak and Ash"),
        ("3", "Smoke Wagon"),
    ]
    assert reading.with_meanings({0: Meaning.TOTAL}).twice == (Meaning.TOTAL,)


def test_gaps_that_are_wide_here_and_there_part_nothing():
    """As typed by hand, or cut from a page: single spaces tell more than the wide ones."""
    text = """Saltmarsh Skillet - Ribeye results
1. Smoke Wagon   190.5
2  Oak and Ash 188
3.) Route 66 Smokers ..... 187.25
T4 Low Hum 186
T4   Marrow and Pine 186
"""
    reading = read(text)
    assert reading.separator is Separator.WORDS
    assert [(row.placing, row.name, str(row.total)) for row in field_rows(reading)] == [
        (1, "Smoke Wagon", "190.5000"),
        (2, "Oak and Ash", "188.0000"),
        (3, "Route 66 Smokers", "187.2500"),
        (4, "Low Hum", "186.0000"),
        (4, "Marrow and Pine", "186.0000"),
    ]
    assert read(text, separator=Separator.SPACES).separator is Separator.SPACES


def test_another_separator_can_be_said():
    text = "1;Oak, Ash;188\n2;Pit, Row;187"
    assert len(read(text).columns) == 3
    assert read(text, separator=Separator.COMMA).separator is Separator.COMMA


def test_prose_and_nothing_give_no_entries():
    for text in (
        "",
        "   \n\n",
        "Thanks everybody for coming.\nSee you again next year, friends.\n",
    ):
        assert field_rows(read(text)) == ()


def test_more_than_one_list_can_be_is_refused_in_words():
    with pytest.raises(Unreadable, match="100,000 characters"):
        read("x" * 100_001)
    with pytest.raises(Unreadable, match="2,000 at once"):
        read("\n".join(f"{n} Team{n} 1" for n in range(1, 2_500)))


# Ours ---------------------------------------------------------------------------------------------


def candidates(text: str, **known: str):
    return find_ours(field_rows(read(text)), Ours(**known))


def test_ours_is_found_by_team_in_a_cell_with_the_cook():
    text = "1\tSmoke Wagon (J. Pike)\t190\n2\tOAK & ASH / M. Hale\t188\n"
    (ours,) = candidates(text, team="Oak and Ash", number="12", cook="M. Hale")
    assert ours.by == ("team name", "cook")
    assert not ours.doubt


def test_another_teams_line_with_our_number_is_in_doubt():
    text = "Place\tNumber\tTeam\tTotal\n1\t12\tSmoke Wagon\t190\n2\t47\tOak and Ash\t188\n"
    first, second = candidates(text, team="Oak and Ash", number="12")
    assert first.by == ("team name",)
    assert not first.doubt
    assert second.doubt == "It has our number, and the name Smoke Wagon."


def test_ours_is_found_by_a_blind_number_where_there_are_no_names():
    (ours,) = candidates("Box\tTotal\n0417\t190\n0333\t188\n", team="Oak and Ash", blind="417")
    assert ours.by == ("blind number",)
    assert not ours.doubt


def test_a_short_or_partial_name_is_no_match():
    text = "1\tOakland Ashes\t190\n2\tMoab\t188\n"
    assert candidates(text, team="Oak", cook="Mo") == ()


# Any table, written out and read back -------------------------------------------------------------

WORD = st.from_regex(r"[A-Z][a-z]{2,8}", fullmatch=True)
NAME = st.lists(WORD, min_size=1, max_size=3).map(" ".join)
POINTS = st.decimals(min_value=20, max_value=250, places=2, allow_nan=False)


@st.composite
def fields(draw):
    names = draw(st.lists(NAME, min_size=3, max_size=12, unique_by=str.casefold))
    totals = sorted((draw(POINTS) for _ in names), reverse=True)
    return [
        (place, name, total)
        for place, (name, total) in enumerate(zip(names, totals, strict=True), 1)
    ]


def written(field, way: str) -> str:
    rows = [("Place", "Team", "Total"), *((str(p), n, f"{t:f}") for p, n, t in field)]
    if way == "spaces":
        wide = max(len(name) for _, name, _ in rows)
        return "\n".join(f"{p:<7} {n:<{wide}}  {t}" for p, n, t in rows)
    if way == "words":
        return "\n".join(f"{p}. {n} {t}" for p, n, t in rows[1:])
    if way == "stacked":
        return "\n".join(cell for row in rows for cell in row)
    if way == "decimal comma":
        return "\n".join(";".join(row).replace(".", ",") for row in rows)
    return "\n".join(way.join(row) for row in rows)


@pytest.mark.parametrize(
    "way", ["\t", "|", ";", ",", " | ", "spaces", "words", "stacked", "decimal comma"]
)
@settings(deadline=None, max_examples=25)
@given(field=fields())
def test_any_table_written_out_is_read_back(way, field):
    rows = field_rows(read(written(field, way)))
    assert [(row.placing, row.name, row.total) for row in rows] == field


JUNK = st.text(
    alphabet=st.sampled_from('aZé 0123456789.,;:|\t\n\r"#½=()-–/&…\0\x0c\xa0'), max_size=300
)


@settings(deadline=None, max_examples=150)
@given(text=JUNK | st.text(max_size=200))
def test_whatever_is_pasted_is_read_and_fits_where_it_is_kept(text):
    for separator in (None, Separator.SPACES, Separator.STACKED):
        for row in field_rows(read(text, separator=separator)):
            assert row.placing is None or 1 <= row.placing <= 32_767
            assert row.total is None or abs(row.total) < 10**6
            assert max(len(row.name), len(row.cook)) <= 120
            assert max(len(row.number), len(row.table)) <= 20
            assert len(row.note) <= 80
            assert "\0" not in f"{row.name}{row.note}{row.parts}"


@pytest.mark.parametrize(
    "piece", [" ", "\t", "-", ".", "a ", "1 ", '"', '\t"', "#1 ", ",", "x\n", "1\n", "9"]
)
def test_a_long_paste_of_one_thing_is_read_too(piece):
    text = f"1\tOak\t{piece * (90_000 // len(piece))}\t9\n2\tAsh\t8\t7\n"
    with suppress(Unreadable):  # too many lines: refused, and quickly
        assert len(field_rows(read(text))) <= 2_000
