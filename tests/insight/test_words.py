"""Sentences that claim no more than the numbers can."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from teamops.calc import scoring
from teamops.calc.ledger import UsualLine, UsualLosses, Verdict
from teamops.insight import words
from teamops.rules.models import Criterion, Rulebook

TODAY = date(2027, 6, 1)


def usual(verdict: Verdict, contests: int, *lines: tuple[str, float, float | None]) -> UsualLosses:
    rows = tuple(
        UsualLine(
            key=name, name=name, average=lost, likely=lost, low=lost, high=lost, chance=chance
        )
        for name, lost, chance in lines
    )
    leader = (
        max(rows, key=lambda row: row.chance or 0).key if verdict is not Verdict.TOO_FEW else None
    )
    return UsualLosses(verdict, contests, rows, 0.9, leader)


def test_a_costliest_criterion_is_named_with_its_share_and_its_chance():
    five = [("Doneness", 9.4, 0.97), ("Taste", 7.3, 0.02), ("Texture", 6.1, 0.01)]
    told = words.usual_words(usual(Verdict.NAMED, 8, *five), 22.8)
    assert told == (
        "Doneness cost most: 9.4 of the 22.8 points lost a contest. "
        "97 % sure that it is the costliest of the three."
    )


@pytest.mark.parametrize(("contests", "opening"), [(1, "One contest is"), (2, "Two contests are")])
def test_with_too_few_contests_no_criterion_is_named(contests, opening):
    told = words.usual_words(usual(Verdict.TOO_FEW, contests, ("Doneness", 9.0, None)), 9.0)
    assert told.startswith(f"{opening} too few to say which criterion usually costs most.")
    assert "Doneness" not in told


def test_an_unsure_leader_is_only_the_likeliest():
    lines = [("Taste", 7.0, 0.3), ("Doneness", 7.5, 0.55), ("Looks", 3.0, 0.15)]
    told = words.usual_words(usual(Verdict.UNCLEAR, 5, *lines), 17.5)
    assert told.startswith("No criterion stands out for sure after five contests: doneness is the")
    assert "(55 %), then taste (30 %)" in told
    assert "cost most:" not in told


def test_a_chance_is_never_certain():
    lines = [("Doneness", 30.0, 1.0), ("Taste", 1.0, 0.0)]
    assert "99 % sure" in words.usual_words(usual(Verdict.NAMED, 30, *lines), 31.0)


def test_nothing_is_told_of_no_marks():
    assert "nothing can be told" in words.usual_words(None, 0.0)


def test_one_criterion_has_all_the_losses():
    assert words.usual_words(usual(Verdict.SINGLE, 4, ("Score", 9.0, None)), 9.0) == (
        "Score is all that is marked, so every point was lost there."
    )


@pytest.mark.parametrize(
    ("lost", "told"),
    [
        ([], ""),
        ([("Taste", 0), ("Looks", 0)], "Nothing was lost."),
        ([("Taste", "2.5"), ("Looks", 0)], "All 2.5 points were lost in taste."),
        ([("Taste", 2), ("Looks", 2)], "2 points were lost in each of taste and looks."),
        ([("Taste", 3), ("Looks", 1)], "Taste cost most here: 3 of the 4 points lost."),
        (
            [("Taste", 3), ("Looks", 1), ("Texture", 3)],
            "Taste and texture cost most here: 3 each of the 7 points lost.",
        ),
        ([("Taste", 3), ("Looks", -1)], "All 3 points were lost in taste."),
    ],
)
def test_what_cost_most_in_one_box(lost, told):
    assert words.cost_words([(name, Decimal(points)) for name, points in lost]) == told


@pytest.mark.parametrize(
    ("lost", "shares", "together"),
    [
        (["3", "6.5", "3.5", "3.5", "4"], ["15 %", "32 %", "17 %", "17 %", "20 %"], 101),
        (["1", "1", "1"], ["33 %", "33 %", "33 %"], 99),
        (["1", "1", "1", "1", "1", "1"], ["17 %"] * 6, 102),
        (["5", "5", "0"], ["50 %", "50 %", "0 %"], 100),
        (["20", "0.05"], ["100 %", "under 1 %"], 100),
        (["3", "-1", "1"], ["75 %", "", "25 %"], 100),
        (["0", "0"], ["", ""], 100),
        (["-2"], [""], 100),
        ([], [], 100),
    ],
)
def test_parts_of_what_was_lost(lost, shares, together):
    """Each is the nearest whole percent, halves up, so that equal losses have equal parts."""
    losses = [Decimal(points) for points in lost]
    assert words.share_words(losses) == shares
    note = words.shares_note(losses)
    assert note == "" if together == 100 else f"make {together} %" in note


@given(st.lists(st.decimals(0, 500, places=3), min_size=1, max_size=8))
def test_the_note_stands_exactly_where_the_parts_do_not_make_100(losses):
    shares = words.share_words(losses)
    printed = [int(share.split()[0]) for share in shares if share and "under" not in share]
    assert bool(words.shares_note(losses)) == (any(losses) and sum(printed) != 100)
    every = sum(losses)
    for lost, share in zip(losses, shares, strict=True):
        if share and "under" not in share:
            assert abs(int(share.split()[0]) - 100 * lost / every) <= Decimal("0.5")


@pytest.mark.parametrize(
    ("placing", "field", "tied", "told"),
    [
        (None, 40, False, ""),
        (3, None, False, "3rd"),
        (11, 40, False, "11th of 40"),
        (2, 9, True, "2nd of 9, tied"),
    ],
)
def test_placing_in_words(placing, field, tied, told):
    assert words.placing_words(placing, field, tied=tied) == told


@pytest.mark.parametrize(
    ("ours", "posted", "apart"),
    [
        ("210.5", "210.5", False),
        ("210.5", "210.50", False),
        ("167.4360", "167.44", False),  # ours, printed with fewer places
        ("167.4360", "167.43", True),
        ("167.44", "167", True),  # a whole number is not taken for a rounded one
        ("210.5", "201.5", True),
        (None, "201.5", False),
        ("210.5", None, False),
    ],
)
def test_a_posted_total_differs_or_is_ours_rounded(ours, posted, apart):
    numbers = [None if text is None else Decimal(text) for text in (ours, posted)]
    assert words.differs(*numbers) is apart


@pytest.mark.parametrize(
    ("day", "told", "late"),
    [
        (date(2027, 6, 1), "Today", ""),
        (date(2027, 6, 2), "Tomorrow", ""),
        (date(2027, 5, 31), "Yesterday", "overdue 1 day"),
        (date(2027, 5, 22), "Sat 22 May", "overdue 10 days"),
        (date(2028, 1, 5), "Wed 5 Jan 2028", ""),
    ],
)
def test_days_as_one_says_them(day, told, late):
    assert words.day_words(day, TODAY) == told
    assert words.late_words(day, TODAY) == late


@pytest.mark.parametrize(
    ("name", "short"),
    [("Taste", "Taste"), ("Texture", "Text."), ("Appearance", "App."), ("Overall look", "Over.")],
)
def test_a_criterion_fits_a_narrow_column(name, short):
    assert words.short_name(name) == short


def worked(marks: str, weight: str = "1", factor: str = "1", aggregate: str = "sum") -> str:
    """One criterion of 1 to 10, as many judges as marks, explained."""
    rules = scoring.Rules(
        criteria=(scoring.Criterion("taste", "Taste", Decimal(weight), Decimal(1), Decimal(10)),),
        sheets_expected=len(marks.split()),
        factor=Decimal(factor),
        aggregate=scoring.Aggregate(aggregate),
    )
    sheets = [
        scoring.Sheet(f"judge {n}", {"taste": Decimal(m)}) for n, m in enumerate(marks.split())
    ]
    row = scoring.score(sheets, rules).criteria[0]
    criterion = Criterion(name="Taste", key="taste", weight=Decimal(weight), most=Decimal(10))
    return words.worked_words(row, criterion, Rulebook(factor=Decimal(factor), aggregate=aggregate))


def test_a_loss_is_worked_out_in_words():
    assert worked("8 8.5 9") == "Three marks count: 8, 8.5 and 9; together 25.5 of 30, 4.5 short."


def test_a_weighted_loss_says_what_a_mark_is_worth():
    assert worked("8 9", weight="2.2", factor="2").endswith(
        "A mark is worth 4.4 points: 13.2 lost."
    )


def test_a_mean_says_over_how_many_judges():
    assert "Averaged over two judges: 1.5." in worked("8 9", aggregate="mean")
    assert "3 lost." in worked("8 9", weight="2", aggregate="mean")


def test_a_rule_that_leads_elsewhere_is_not_spelled_out():
    """Only its result is given: the criterion on the page is not that of the sheet."""
    rules = scoring.Rules(
        criteria=(scoring.Criterion("taste", "Taste", Decimal(3), Decimal(1), Decimal(10)),)
    )
    row = scoring.score([scoring.Sheet("judge 1", {"taste": Decimal(8)})], rules).criteria[0]
    other = Criterion(name="Taste", key="taste", weight=Decimal(1), most=Decimal(10))
    told = words.worked_words(row, other, Rulebook(factor=Decimal(1)))
    assert told.endswith("By the rulebook’s arithmetic that is 6 points.")
