"""Totals under published rulebooks, and what happens to paper that is not as it should be."""

from dataclasses import replace
from decimal import Decimal, localcontext

import pytest

from teamops.calc.scoring import (
    Aggregate,
    Criterion,
    Direction,
    DropScope,
    FlagKind,
    MissingSheet,
    Panel,
    RoundWhere,
    Rules,
    Sheet,
    Standing,
    score,
)
from tests.calc.worked import example, worked

KEYS = ("appearance", "doneness", "taste", "texture", "overall")
STEAK = Rules(
    criteria=tuple(
        Criterion(key, key.capitalize(), Decimal(1), Decimal(1), Decimal(10), Decimal("0.5"))
        for key in KEYS
    ),
    sheets_expected=5,
    tie_break=("sum:taste:kept", "sum:doneness:kept", "shared"),
)
LOWEST_DROPPED = replace(STEAK, drop_scope=DropScope.SHEET, drop_low=1)


def table(*rows: str, rules: Rules = STEAK) -> list[Sheet]:
    """Sheets from lines of marks; a dash is a blank cell."""
    keys = [criterion.key for criterion in rules.criteria]
    sheets = []
    for number, row in enumerate(rows, start=1):
        marks = [None if word == "-" else Decimal(word) for word in row.split()]
        sheets.append(Sheet(f"judge {number}", dict(zip(keys, marks, strict=True))))
    return sheets


def kinds(result) -> list[FlagKind]:
    return [flag.kind for flag in result.flags]


FULL = ["9 8 8 8 8"] * 5


@pytest.mark.outside(
    "rulebooks named in tests/data/scoring-rules-schemes.csv (2004 and 2013 barbecue judging "
    "procedures, chili, diving, rope, beer, wine, placings); scoring-worked-totals.csv, 30 totals"
)
@pytest.mark.parametrize("case", worked(), ids=lambda case: f"{case.example}-{case.entry}")
def test_worked_totals(case):
    """Every total to the last digit given; only one is printed rounded (38.333333)."""
    result = score(case.sheets, case.rules)
    assert round(result.total, 6) == case.total
    if case.example != "beer_mean":
        assert result.total == case.total


@pytest.mark.outside("the same rulebooks; scoring-worked-totals.csv, notes on single sheets")
@pytest.mark.parametrize(
    "case", [w for w in worked() if w.sheet_totals], ids=lambda case: case.example
)
def test_worked_sheet_totals_and_dropped_sheets(case):
    result = score(case.sheets, case.rules)
    assert [sheet.total for sheet in result.sheets] == case.sheet_totals
    if case.dropped:
        gone = [n for n, sheet in enumerate(result.sheets, start=1) if not sheet.counts]
        assert gone == [case.dropped]
        assert result.sheets[case.dropped - 1].standing is Standing.DROPPED_LOW


@pytest.mark.outside("Kansas City Barbeque Society judging procedures 2004: 36 a sheet, 180 in all")
@pytest.mark.parametrize("name", ["bbq_2004_perfect", "bbq_2013_perfect"])
def test_a_perfect_table_loses_nothing(name):
    case = example(name)
    result = score(case.sheets, case.rules)
    assert result.total == result.most == 180
    assert set(result.losses.values()) == {0}


@pytest.mark.outside(
    "University chili cook-off score sheet 2015, studylib document 8958540: most possible 90"
)
def test_the_most_possible_is_weighted():
    case = example("chili_42")
    assert score(case.sheets, case.rules).most == 90


@pytest.mark.outside("computed: 2004 weights, sheets 9-8-8 and 7-8-9 both 32.5714")
def test_equal_sheets_compare_equal_whatever_their_marks():
    """As binary floats these two differ in the last bit."""
    case = example("bbq_2004_tied_low")
    fifth, sixth = score(case.sheets, case.rules).sheets[4:]
    assert fifth.total == sixth.total == Decimal("32.5714")


@pytest.mark.outside("computed: tenderness 45 if sheet 5 goes, 44 if sheet 6 does")
def test_of_two_lowest_sheets_the_one_goes_that_leaves_the_better_sums():
    case = example("bbq_2004_tied_low")
    result = score(case.sheets, case.rules)
    assert [sheet.counts for sheet in result.sheets] == [True] * 4 + [False, True]
    sums = {row.key: row.kept_sum for row in result.criteria}
    assert sums["tenderness"] == 45
    (flag,) = result.flags
    assert (flag.kind, flag.sheet) == (FlagKind.TIED_DROP, 4)
    assert flag.words == (
        "Judge 5 and judge 6 tie for the lowest at 32.5714; judge 5 goes, "
        "as that leaves the better tenderness marks."
    )


def test_the_missing_sheet_is_the_average_and_shown_as_filled():
    case = example("bbq_2013_five_sheets")
    result = score(case.sheets, case.rules)
    assert result.sheets[-1].filled
    assert [sheet.filled for sheet in result.sheets[:-1]] == [False] * 5
    assert kinds(result) == [FlagKind.TOO_FEW_SHEETS, FlagKind.FILLED_SHEET]
    assert not result.complete


def test_the_average_leaves_blank_cells_out():
    rules = replace(STEAK, missing_sheet=MissingSheet.AVERAGE_REMAINING)
    result = score(table("9 8 - 8 8", "9 8 9 8 8", "9 8 7 8 8", "9 8 8 8 8"), rules)
    assert result.sheets[-1].total == 41
    assert result.total == 33 + 42 + 40 + 41 + 41


def test_where_a_sheet_gives_only_its_total_the_totals_are_averaged():
    rules = replace(STEAK, missing_sheet=MissingSheet.AVERAGE_REMAINING)
    sheets = [Sheet("judge 1", {}, given_total=Decimal(45)), *table(*FULL)[1:4]]
    result = score(sheets, rules)
    assert result.sheets[-1].total == 42
    assert result.total == 45 + 3 * 41 + 42


def test_too_few_sheets_are_not_filled():
    """Four make a table under this rulebook; three are added up as they are."""
    case = example("bbq_2013_five_sheets")
    result = score(case.sheets[:3], case.rules)
    assert len(result.sheets) == 3
    assert result.total == sum(sorted(s.total for s in result.sheets)[1:])
    assert "wants at least four" in result.flags[0].words


def test_a_plain_table_is_complete_and_without_flags():
    result = score(table(*FULL), STEAK)
    assert (result.total, result.most, result.lost) == (205, 250, 45)
    assert result.complete
    assert result.flags == ()
    assert result.losses == dict(zip(KEYS, map(Decimal, (5, 10, 10, 10, 10)), strict=True))


def test_a_sixth_sheet_counts_and_is_flagged():
    result = score(table(*FULL, "9 8 8 8 8"), STEAK)
    assert (result.total, result.most) == (246, 300)
    assert [flag.words for flag in result.flags] == [
        "Six sheets where five are expected; all of them are used."
    ]
    assert not result.complete


def test_seven_sheets_with_a_drop_rule():
    result = score(table(*FULL, "9 9 9 9 9", "5 5 5 5 5"), LOWEST_DROPPED)
    assert result.total == 5 * 41 + 45
    assert result.sheets[6].why_not == "lowest, dropped"
    assert result.most == 300


def test_a_blank_cell_leaves_what_the_sheet_has():
    result = score(table("9 8 - 8 8", *FULL[1:]), STEAK)
    assert result.total == 197
    assert [flag.words for flag in result.flags] == [
        "Judge 1 left taste blank; the sheet counts what it has."
    ]
    assert (result.flags[0].sheet, result.flags[0].criterion) == (0, "taste")
    assert not result.complete
    assert result.losses is None
    assert result.why_no_losses == "Marks are missing on the sheet of judge 1."
    assert {row.key: row.earned for row in result.criteria}["taste"] == 32


def test_a_blank_cell_on_a_dropped_sheet_costs_no_losses():
    result = score(table("9 8 - 8 8", *FULL[1:]), LOWEST_DROPPED)
    assert result.losses is not None
    assert result.total == 164


def test_a_key_that_is_not_there_is_a_blank_cell():
    sheets = [Sheet("judge 1", {"taste": Decimal(8)}), *table(*FULL)[1:]]
    assert kinds(score(sheets, STEAK)) == [FlagKind.BLANK] * 4


def test_an_empty_sheet_never_came():
    result = score([Sheet("judge 1", {}), *table(*FULL)[1:]], STEAK)
    assert result.total == 164
    assert result.sheets[0].standing is Standing.EMPTY
    assert kinds(result) == [FlagKind.TOO_FEW_SHEETS, FlagKind.EMPTY_SHEET]


@pytest.mark.parametrize("sheets", [[], [Sheet("judge 1", {"taste": None})]])
def test_no_mark_no_total(sheets):
    result = score(sheets, STEAK)
    assert result.total is None
    assert result.why_no_total == "No sheet has a mark yet."
    assert result.lost is None
    assert result.losses is None


def test_one_sheet_of_five():
    result = score(table("9 8 8 8 8"), STEAK)
    assert (result.total, result.most) == (41, 50)
    assert result.flags[0].words == "One sheet where five are expected."


def test_one_sheet_is_never_dropped():
    result = score(table("9 8 8 8 8"), LOWEST_DROPPED)
    assert result.total == 41
    assert FlagKind.NO_DROP in kinds(result)


def test_a_rulebook_may_refuse_an_unfinished_table():
    result = score(table(*FULL[:4]), replace(STEAK, missing_sheet=MissingSheet.REFUSE))
    assert result.total is None
    assert result.why_no_total == (
        "Four of five sheets are in; this rulebook gives no total before all are."
    )


def test_only_a_judges_total():
    sheets = [Sheet("judge 1", {}, given_total=Decimal("40.5")), *table(*FULL)[1:]]
    result = score(sheets, STEAK)
    assert result.total == Decimal("204.5")
    assert kinds(result) == [FlagKind.TOTAL_ONLY]
    assert result.complete
    assert result.losses is None


def test_a_printed_total_fills_in_for_a_blank_cell():
    marks = {key: Decimal(8) for key in KEYS if key != "taste"}
    result = score([Sheet("judge 1", marks, Decimal("40.5")), *table(*FULL)[1:]], STEAK)
    assert result.total == Decimal("204.5")
    assert result.flags[0].words == "Judge 1 left taste blank; the sheet counts as printed."


def test_a_printed_total_that_does_not_add_up():
    first, *rest = table(*FULL)
    result = score([replace(first, given_total=Decimal(42)), *rest], STEAK)
    assert result.total == 205
    assert [flag.words for flag in result.flags] == [
        "Judge 1's marks add up to 41, the paper says 42; the marks are used."
    ]
    assert score([replace(first, given_total=Decimal(41)), *rest], STEAK).flags == ()


def test_a_printed_total_may_be_rounded_as_the_rulebook_prints():
    case = example("bbq_2013_mixed")
    rules = replace(case.rules, rounding_places=2)
    first, *rest = case.sheets
    result = score([replace(first, given_total=Decimal("33.70")), *rest], rules)
    assert result.flags == ()
    assert result.total == case.total


def test_a_stray_mark_is_pointed_out():
    first, *rest = table(*FULL)
    stray = replace(first, marks={**first.marks, "smoke": Decimal(9)})
    result = score([stray, *rest], STEAK)
    assert result.total == 205
    assert result.flags[0].kind is FlagKind.UNKNOWN_CRITERION


def test_a_wide_spread_is_flagged():
    rules = replace(STEAK, max_spread=Decimal(7))
    result = score(table(*FULL[:4], "7 7 6 6 7"), rules)
    assert [flag.words for flag in result.flags] == [
        "Judge 5 and judge 1 are 8 points apart; more than 7 is unusual."
    ]
    assert score(table(*FULL[:4], "7 7 6 7 7"), rules).flags == ()


def test_marks_dropped_within_each_criterion():
    """Each column loses its lowest and highest mark, whoever gave it; the rest is averaged."""
    rules = replace(
        STEAK,
        drop_scope=DropScope.CRITERION,
        drop_low=1,
        drop_high=1,
        aggregate=Aggregate.MEAN,
    )
    result = score(table("9 5 8 8 8", "5 9 8 8 8", "8 8 6 8 8", "7 7 9 8 8", "6 8 8 8 2"), rules)
    by_key = {row.key: row for row in result.criteria}
    assert [by_key[key].earned for key in KEYS] == [
        Decimal(7),
        Decimal("7.666666666666666666666667"),
        Decimal(8),
        Decimal(8),
        Decimal(8),
    ]
    assert by_key["appearance"].dropped == ("judge 1", "judge 2")
    assert all(sheet.counts for sheet in result.sheets)
    assert sum(result.losses.values()) == result.lost


def test_marks_dropped_within_criteria_need_marks():
    rules = replace(STEAK, drop_scope=DropScope.CRITERION, drop_low=1)
    sheets = [Sheet("judge 1", {}, given_total=Decimal(40)), *table(*FULL)[1:]]
    result = score(sheets, rules)
    assert result.total is None
    assert "only its total" in result.why_no_total


@pytest.mark.parametrize(("rows", "expected"), [(FULL[:3], 41), (["9 8 8 8 8", "8 8 8 8 8"], 40.5)])
def test_median_of_sheets(rows, expected):
    result = score(table(*rows, rules=STEAK), replace(STEAK, aggregate=Aggregate.MEDIAN))
    assert result.total == Decimal(str(expected))
    assert result.losses is None


@pytest.mark.outside(
    "International Jump Rope Union technical manual 3.0.0: mean of the two closest; 113 printed"
)
def test_the_sheet_out_of_the_closest_pair_does_not_count():
    case = example("rope_3a")
    result = score(case.sheets, case.rules)
    assert [sheet.standing for sheet in result.sheets] == [
        Standing.COUNTS,
        Standing.COUNTS,
        Standing.NOT_CLOSEST,
    ]
    assert result.most is None


@pytest.mark.outside(
    "OIV wine competition standard, article 13: 76 is 9.4 from the mean and removed"
)
def test_an_outlier_is_shown_as_such():
    case = example("wine_reject")
    result = score(case.sheets, case.rules)
    assert result.sheets[4].why_not == "more than 7 from the average"
    assert sum(result.losses.values()) == Decimal("12.25")


def test_two_far_apart_are_not_both_outliers():
    case = example("wine_keep")
    sheets = [Sheet("judge 1", {"score": Decimal(50)}), Sheet("judge 2", {"score": Decimal(90)})]
    result = score(sheets, replace(case.rules, sheets_expected=2))
    assert result.total == 70
    assert kinds(result) == [FlagKind.NO_DROP]


def test_rounding_happens_where_the_rulebook_says():
    case = example("bbq_2013_mixed")
    exact = score(case.sheets, replace(case.rules, rounding_places=1))
    assert exact.total == Decimal("167.44")
    rounded = replace(case.rules, rounding_places=1, round_where=RoundWhere.TOTAL)
    total = score(case.sheets, rounded)
    assert total.total == Decimal("167.4")
    sheet = score(case.sheets, replace(rounded, round_where=RoundWhere.SHEET))
    assert [s.total for s in sheet.sheets] == [
        Decimal(text) for text in ("33.7", "34.3", "34.9", "32.0", "32.6", "28.6")
    ]
    assert sheet.total == Decimal("167.5")
    for result in (exact, total, sheet):
        assert sum(result.losses.values()) + result.lost_to_rounding == result.lost
    assert sheet.lost_to_rounding == Decimal("-0.06")
    assert exact.lost_to_rounding == 0


def test_half_up():
    rules = replace(STEAK, rounding_places=1)
    assert rules.round(Decimal("0.25")) == Decimal("0.3")
    assert rules.round(Decimal("0.349999")) == Decimal("0.3")
    assert replace(rules, rounding_places=None).round(Decimal("0.25")) == Decimal("0.25")


def test_thirds_still_add_up():
    rules = replace(STEAK, aggregate=Aggregate.MEAN, sheets_expected=3)
    result = score(table("9 8 8 8 8", "8 8 9 8 8", "9 9 8 9 8.5", rules=rules), rules)
    assert result.total == Decimal("41.833333333333333333333333")
    assert sum(result.losses.values()) == result.lost
    assert result.lost_to_rounding == 0


def test_panels_are_added():
    """Four judges taste blind, two more judge the site; each panel drops its own lowest."""
    rules = Rules(
        criteria=(
            Criterion("taste", "Taste", Decimal(2), Decimal(1), Decimal(10), panel="blind"),
            Criterion("site", "Site", Decimal(1), Decimal(1), Decimal(10), panel="on site"),
        ),
        panels=(Panel("blind", 4, 3), Panel("on site", 2)),
        drop_scope=DropScope.SHEET,
        drop_low=1,
    )
    blind = [Sheet(f"judge {n}", {"taste": Decimal(n + 5)}, panel="blind") for n in range(1, 5)]
    site = [Sheet(f"judge {n}", {"site": Decimal(n + 3)}, panel="on site") for n in (5, 6)]
    result = score([*site, *blind], rules)
    assert result.total == 2 * (7 + 8 + 9) + 9
    assert result.most == 60 + 10
    assert [sheet.panel for sheet in result.sheets] == ["on site"] * 2 + ["blind"] * 4
    assert result.losses == {"taste": 12, "site": 1}
    short = score([*site, *blind[:3]], rules)
    assert short.flags[0].words == "Three sheets on the blind panel where four are expected."


def test_the_lowest_total_wins_so_nothing_is_lost():
    case = example("rank_106")
    result = score(case.sheets, case.rules)
    assert result.most is None
    assert result.losses is None
    assert case.rules.direction is Direction.LOW


def test_the_callers_decimal_width_does_not_matter():
    case = example("bbq_2013_five_sheets")
    with localcontext(prec=4):
        assert score(case.sheets, case.rules).total == case.total


def test_the_head_judges_sheet_is_remembered():
    first, second, *rest = table(*FULL)
    result = score([first, replace(second, head_judge=True), *rest], STEAK)
    assert result.head_judge_total == 41


def test_floats_are_refused():
    with pytest.raises(TypeError, match="Decimal"):
        Sheet("judge 1", {"taste": 8.5})
    with pytest.raises(TypeError, match="Decimal"):
        Sheet("judge 1", {}, given_total=40.5)
    with pytest.raises(TypeError, match="Decimal"):
        Criterion("taste", "Taste", 1.5)
    with pytest.raises(TypeError, match="Decimal"):
        replace(STEAK, factor=1.5)
    with pytest.raises(ValueError, match="number"):
        Sheet("judge 1", {"taste": Decimal("NaN")})


@pytest.mark.parametrize(
    "change",
    [
        {"criteria": ()},
        {"criteria": STEAK.criteria * 2},
        {"drop_low": -1},
        {"sheets_expected": 0},
        {"tie_break": ("sum:smoke:kept",)},
        {"tie_break": ("sum:taste",)},
        {"tie_break": ("count_of:ten",)},
        {"tie_break": ("coin",)},
    ],
)
def test_rules_nobody_could_apply_are_refused(change):
    with pytest.raises(ValueError):
        replace(STEAK, **change)


def test_a_scale_upside_down_is_refused():
    with pytest.raises(ValueError, match="above"):
        Criterion("taste", "Taste", Decimal(1), Decimal(10), Decimal(1))
    with pytest.raises(ValueError, match="step"):
        Criterion("taste", "Taste", step=Decimal(0))
