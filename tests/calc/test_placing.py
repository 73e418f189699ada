"""What better marks would have placed: counted, guessed, and hoped for."""

import re
from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import norm, t

from teamops.calc.field import Entrant
from teamops.calc.placing import (
    Field,
    FieldShape,
    Form,
    GuessedPlace,
    Where,
    field_shape,
    form,
    gains_sentence,
    guess_of,
    guess_place,
    guessed_field,
    move_marks,
    move_words,
    needed,
    normal_score,
    outlook,
    outlook_sentence,
    place_of,
    placed_words,
    replay,
    where_words,
)
from teamops.calc.scoring import (
    Criterion,
    Direction,
    DropScope,
    MissingSheet,
    Rules,
    Sheet,
    score,
)
from tests.calc.worked import read

TENTH = Decimal("0.1")
RULES = Rules(
    criteria=(
        Criterion("looks", "Looks", Decimal(1), Decimal(1), Decimal(10), Decimal("0.5")),
        Criterion("taste", "Taste", Decimal(2), Decimal(1), Decimal(10), Decimal("0.5")),
    ),
    sheets_expected=3,
    drop_scope=DropScope.SHEET,
    drop_low=1,
    tie_break=("sum:taste:kept",),
    penalty_mark=Decimal(0),
)


def table(*rows, label="judge"):
    """Sheets of looks and taste, as "8 9"; a dash for a blank."""
    sheets = []
    for n, row in enumerate(rows, start=1):
        marks = [None if word == "-" else Decimal(word) for word in row.split()]
        sheets.append(Sheet(f"{label} {n}", dict(zip(("looks", "taste"), marks, strict=True))))
    return sheets


def rows(case):
    return [row for row in read("scoring-placing-expected.csv") if row["case"] == case]


def close(row):
    return pytest.approx(float(row["value"]), abs=float(row["tolerance"]))


# Played again


OURS = table("8 8", "8 8.5", "7 7")  # 24 + 25, the last dropped


def test_a_step_is_replayed_through_the_rules():
    found = replay(OURS, {"taste": Decimal("0.5")}, RULES)
    assert (found.before.total, found.after.total, found.gain) == (49, 51, 2)
    assert (found.moved, found.capped) == (3, 0)


def test_another_sheet_may_be_dropped():
    sheets = table("10 7", "6 9.5", "8 8.5")
    found = replay(sheets, {"taste": Decimal(1)}, RULES)
    assert found.before.total == 25 + 25
    assert found.after.total == 27 + 26  # 10 8, 6 10 and 8 9.5: now the second one goes
    assert (found.gain, found.capped) == (3, 1)


def test_marks_stay_within_their_scale():
    sheets = table("10 9.5", "0 8", "- 8", "11 1")
    changed, moved, capped = move_marks(sheets, {"looks": Decimal(1), "taste": Decimal(1)}, RULES)
    assert [tuple(sheet.marks.values()) for sheet in changed] == [
        (10, 10), (0, 9), (None, 9), (11, 2),
    ]  # fmt: skip
    assert (moved, capped) == (4, 3)
    down, _, held = move_marks(sheets, {"taste": Decimal(-1)}, RULES)
    assert [sheet.marks["taste"] for sheet in down] == [Decimal("8.5"), 7, 7, 1]
    assert held == 1


def test_what_cannot_be_moved_is_refused():
    with pytest.raises(ValueError, match="no criterion"):
        move_marks(OURS, {"smoke": Decimal(1)}, RULES)
    with pytest.raises(ValueError, match="no sheet"):
        move_marks(table("- 8"), {"looks": Decimal(1)}, RULES)
    only_total = [Sheet("judge 1", {}, given_total=Decimal(24))]
    with pytest.raises(ValueError, match="no sheet"):
        replay(only_total, {"taste": Decimal(1)}, RULES)


def test_another_way_of_totalling_is_taken():
    """A contest where the first sheet alone counts; what it came to before is not asked twice."""
    asked = []

    def first_sheet(some):
        asked.append(some)
        return score(some[:1], RULES)

    found = replay(OURS, {"taste": TENTH}, RULES, total=first_sheet)
    assert (found.before.total, found.gain) == (24, 2 * TENTH)
    again = replay(OURS, {"taste": TENTH}, RULES, total=first_sheet, before=found.before)
    assert again == found
    assert len(asked) == 3


def test_no_total_no_replay():
    refusing = Rules(criteria=RULES.criteria, sheets_expected=3, missing_sheet=MissingSheet.REFUSE)
    assert replay(table("8 8"), {"taste": TENTH}, refusing) is None


def test_an_unmoved_sheet_keeps_its_printed_total():
    sheets = [Sheet("judge 1", {"looks": Decimal(8)}, given_total=Decimal(24)), *OURS]
    changed, _, _ = move_marks(sheets, {"taste": TENTH}, RULES)
    assert changed[0].given_total == 24


# Counted in a known field


def entrant(name, *lines):
    result = score(table(*lines), RULES)
    return Entrant(name, total=result.total, result=result)


FIELD = Field(
    others=(
        entrant("Ash", "9 9", "9 9", "9 9"),  # 54
        entrant("Birch", "8 8.5", "8 8.5", "8 8"),  # 50, taste 17
        entrant("Cedar", "9 8", "9 8", "7 7"),  # 50, taste 16
        entrant("Dogwood", "7 7", "7 7", "7 7"),  # 42
    ),
    entries=5,
    place=4,
    total=Decimal(49),
)


def placed(moves, field=FIELD, sheets=OURS):
    found = replay(sheets, moves, RULES)
    return place_of(field, found.after.total, RULES, found.after)


def test_the_place_is_counted():
    """Half a mark of taste on two sheets is 51: past Birch and Cedar, behind Ash."""
    assert placed({"taste": Decimal(0)}) == Where(4, 4)
    assert placed({"taste": Decimal("0.5")}) == Where(2, 2)
    assert placed_words("4th", Where(2, 2), 5, 4) == "2nd instead of 4th of 5"
    assert placed_words("4th", Where(4, 4), 5, 4) == "still 4th of 5"


def test_ties_go_by_the_rules():
    """Half a mark of looks makes 50 as well: taste 16.5 stands between 17 and 16."""
    found = placed({"looks": Decimal("0.5")})
    assert (found.first, found.last) == (3, 3)
    assert any("that decides" in step or "Decided by" in step for step in found.steps), found


def test_a_tie_without_numbers_stays_open():
    bare = replace(FIELD, others=tuple(replace(one, result=None) for one in FIELD.others))
    found = placed({"looks": Decimal("0.5")}, bare)
    assert (found.first, found.last) == (2, 4)
    assert where_words(found) == "2nd to 4th"
    assert where_words(Where(2, 3)) == "2nd or 3rd"


def test_who_is_out_is_not_ahead():
    out = replace(FIELD.others[0], out="disqualified")
    field = replace(FIELD, others=(out, *FIELD.others[1:]))
    assert placed({"taste": Decimal("0.5")}, field) == Where(1, 1)
    assert field.untold == 0


def test_a_list_of_the_first_tells_the_places_above_its_end():
    """Of 20 only the first three are posted: 51 is counted, 49 may be any place from the 4th on."""
    posted = tuple(replace(one, placing=n) for n, one in enumerate(FIELD.others[:3], start=1))
    field = Field(posted, entries=20, place=8, total=Decimal(49))
    assert field.untold == 16
    assert placed({"taste": Decimal("0.5")}, field) == Where(2, 2)
    assert placed({"taste": Decimal(0)}, field) is None
    level = placed({"looks": Decimal("0.5")}, field)  # on 50, as others may be that are not told
    assert (level.first, level.last) == (3, 3 + 16)
    found = guess_of(field, Decimal("0.5"), RULES)
    assert (found.counted, found.first) == (False, 7)
    assert found.last >= found.first > 3  # Ash, Birch and Cedar stay ahead
    assert guess_of(field, Decimal("0"), RULES).first == 8


def test_a_gap_in_a_list_ends_what_it_tells():
    first, second, third, last = FIELD.others
    posted = (replace(first, placing=1), replace(second, placing=3), replace(third, placing=4))
    field = Field((*posted, replace(last, placing=9)), entries=20, place=8, total=Decimal(49))
    assert placed({"taste": Decimal("0.5")}, field) is None
    assert needed(replace(field, others=posted[1:]), Decimal(49), RULES) == []


def test_a_guess_wants_place_field_and_winner():
    winner = Entrant("Ash", placing=1, total=Decimal(54))
    field = Field((winner,), entries=25, place=8, total=Decimal(49))
    found = guess_of(field, Decimal(2), RULES)
    told = guess_place(8, 25, 49, 54, 2)
    assert (found.first, found.last, found.guess) == (told.best, told.worst, told)
    assert where_words(found) == "about 4th to 5th"
    for without in (
        replace(field, others=()),
        replace(field, place=None),
        replace(field, place=1),
        replace(field, place=30),
        replace(field, total=Decimal(55)),
    ):
        assert guess_of(without, Decimal(2), RULES) is None


def test_where_the_fewest_points_win():
    """Faults: 30 lost to 20, 24 and 26; four less passes one, and three less stands level."""
    low = replace(RULES, direction=Direction.LOW, tie_break=())
    others = tuple(
        Entrant(name, placing=n, total=Decimal(total))
        for n, (name, total) in enumerate([("Ash", 20), ("Birch", 24), ("Cedar", 26)], start=1)
    )
    field = Field(others, entries=4, place=4, total=Decimal(30))
    assert place_of(field, Decimal(25), low) == Where(3, 3)
    tied = place_of(field, Decimal(26), low)
    assert (tied.first, tied.last) == (3, 4)
    assert needed(field, Decimal(30), low) == [(1, -10), (2, -6), (3, -4)]
    alone = replace(field, others=others[:1], entries=12)
    assert guess_of(alone, Decimal(-3), low).first < 4


def test_what_each_better_place_needed():
    assert needed(FIELD, Decimal(49), RULES) == [(1, 5), (2, 1), (3, 1)]
    assert needed(FIELD, Decimal(60), RULES) == []


@given(st.lists(st.tuples(*[st.integers(2, 20)] * 2), min_size=3, max_size=3), st.integers(0, 20))
@settings(max_examples=60, deadline=None)
def test_more_marks_never_place_worse(marks, halves):
    sheets = table(*(f"{a / 2} {b / 2}" for a, b in marks))
    found = replay(sheets, {"taste": Decimal(halves) / 2}, RULES)
    assert found.gain >= 0
    was, would_be = (place_of(FIELD, one.total, RULES, one) for one in (found.before, found.after))
    assert (would_be.first, would_be.last) <= (was.first, was.last)
    assert replay(sheets, {"taste": Decimal(0)}, RULES).gain == 0


def test_the_worth_of_a_step_in_words():
    move = move_words({"Taste": Decimal("0.5")})
    assert gains_sentence(move, [Decimal(2), Decimal("2.50")], 0) == (
        "At the last two contests +0.5 in taste would have been worth +2 and +2.5 points."
    )
    assert gains_sentence(move, [Decimal(0)], 2) == (
        "At the last contest +0.5 in taste would have been worth 0 points. Two marks had no room "
        "to move."
    )
    assert gains_sentence(move, [Decimal("2.5")] * 7, 0) == (
        "At the last seven contests +0.5 in taste would have been worth +2.5 points each time."
    )
    assert "cannot be told" in gains_sentence(move, [], 0)
    both = move_words({"Taste": Decimal("0.5"), "Looks": Decimal(-1)})
    assert both == "+0.5 in taste and −1 in looks"


# Guessed from two totals


@pytest.mark.outside("computed: scoring-placing-expected.csv, blom")
def test_normal_scores():
    assert len(rows("blom")) == 3
    for row in rows("blom"):
        entries, place = map(int, re.findall(r"\d+", row["inputs"]))
        assert normal_score(place, entries) == close(row)
    assert normal_score(13, 25) == pytest.approx(0)


@pytest.mark.outside("computed: scoring-placing-expected.csv, own_place_and_winner")
def test_places_from_two_totals():
    mean, sd, *gains = rows("own_place_and_winner")
    assert guessed_field(8, 25, 196, 214) == (close(mean), close(sd))
    line = gains.pop()
    assert guess_place(8, 25, 196, 214, 5).line == close(line)
    for row in gains:
        gain = float(row["inputs"].removeprefix("gain "))
        assert guess_place(8, 25, 196, 214, gain).curve == close(row)


@given(st.integers(2, 60), st.integers(0, 40), st.floats(0.5, 60), st.floats(-80, 80))
@settings(max_examples=80, deadline=None)
def test_guessed_places_stay_in_the_field(place, below, ahead, gain):
    entries = place + below
    same = guess_place(place, entries, 150, 150 + ahead, 0)
    assert (same.curve, same.line) == pytest.approx((place, place))
    found = guess_place(place, entries, 150, 150 + ahead, gain)
    for one in (found.curve, found.line):
        assert 1 <= one <= entries
        assert (one <= place + 1e-9) if gain >= 0 else (one >= place - 1e-9)
    more = guess_place(place, entries, 150, 150 + ahead, gain + 1)
    assert more.curve <= found.curve + 1e-9
    assert more.line <= found.line + 1e-9


@pytest.mark.parametrize(
    ("place", "entries", "own", "winner", "gain"),
    [(1, 25, 200, 200, 1), (8, 25, 200, 200, 1), (8, 25, 201, 200, 1), (9, 8, 190, 200, 1),
     (3, 8, 190, 200, float("nan"))],
)  # fmt: skip
def test_two_totals_must_say_something(place, entries, own, winner, gain):
    with pytest.raises(ValueError):
        guess_place(place, entries, own, winner, gain)


def test_guessed_places_in_words():
    guess = guess_place(8, 25, 196, 214, 5)
    found = Where(guess.best, guess.worst, counted=False, guess=guess)
    assert placed_words("8th", found, 25, 8) == "about 5th to 6th instead of 8th of 25"
    same = GuessedPlace(3.2, 2.9)
    assert where_words(Where(same.best, same.worst, counted=False)) == "about 3rd"
    assert placed_words("1st", None, 25, 1) == "first of 25 already: nothing to gain"
    assert placed_words("8th", None, 25, 8) == "no place can be told"


# The next contest


@pytest.mark.outside("computed: scoring-placing-expected.csv, known_field")
def test_places_to_expect():
    at_200, at_205, win_200, win_205 = rows("known_field")
    field = FieldShape(195, 10, 25)
    for mean, place, win in ((200, at_200, win_200), (205, at_205, win_205)):
        found = outlook(Form(mean, 6), field)
        assert found.expected == close(place)
        assert found.winning == close(win)
        same = outlook(Form(195, 6), field, gain=mean - 195)
        assert same.chances == pytest.approx(found.chances)


@pytest.mark.outside("computed: SciPy's adaptive quadrature with Student's t")
def test_few_contests_widen_the_outlook():
    found = outlook(Form(205, 6, 4), FieldShape(195, 10, 25))
    own = t(3, 205, 6 * np.sqrt(1.25))
    winning, _ = quad(lambda x: own.pdf(x) * norm.cdf((x - 195) / 10) ** 24, 195, 235, limit=200)
    winning += own.sf(235)  # up there nobody else is left
    assert found.winning == pytest.approx(winning, abs=2e-5)
    expected, _ = quad(lambda u: norm.sf((own.ppf(u) - 195) / 10), 0, 1, limit=200)
    assert found.expected == pytest.approx(1 + 24 * expected, abs=1e-4)
    known = outlook(Form(205, 6), FieldShape(195, 10, 25))
    assert found.worst - found.best > known.worst - known.best


@pytest.mark.outside("computed: 40,000 seasons drawn by lot")
def test_chances_of_places_by_simulation():
    rng = np.random.default_rng(6)
    own, field = rng.normal(203, 5, (40_000, 1)), rng.normal(198, 7, (40_000, 11))
    places = 1 + (field > own).sum(axis=1)
    found = outlook(Form(203, 5), FieldShape(198, 7, 12))
    drawn = np.bincount(places, minlength=13)[1:] / len(places)
    assert found.chances == pytest.approx(drawn, abs=0.008)
    assert found.within(3) == pytest.approx(np.mean(places <= 3), abs=0.01)
    assert 0.75 < np.mean((places >= found.best) & (places <= found.worst)) < 0.95


@given(st.floats(150, 250), st.floats(0, 20), st.floats(0.5, 20), st.integers(2, 40))
@settings(max_examples=40, deadline=None)
def test_chances_add_up(mean, sd, spread, entries):
    found = outlook(Form(mean, sd), FieldShape(200, spread, entries))
    assert sum(found.chances) == pytest.approx(1)
    assert 1 <= found.best <= found.worst <= entries
    assert found.within(entries) == pytest.approx(1)
    places = np.arange(1, entries + 1)
    assert found.expected == pytest.approx(float(places @ found.chances), abs=1e-6)


def test_form_and_field_from_totals():
    assert form([200, 204]) is None
    assert form([200, 204, 202]) == Form(pytest.approx(202), pytest.approx(2), 3)
    assert field_shape([190, 200, 210]) == FieldShape(pytest.approx(200), pytest.approx(10), 4)
    assert field_shape([190]) is None


@pytest.mark.parametrize(
    ("ours", "field"),
    [(Form(200, 5), FieldShape(195, 0, 25)), (Form(200, -1), FieldShape(195, 5, 25)),
     (Form(200, 5), FieldShape(195, 5, 1)), (Form(200, 5, 1), FieldShape(195, 5, 9))],
)  # fmt: skip
def test_an_outlook_needs_a_field(ours, field):
    with pytest.raises(ValueError):
        outlook(ours, field)


def test_the_outlook_in_words():
    found = outlook(Form(205, 6), FieldShape(195, 10, 25))
    assert outlook_sentence(found) == (
        "On average about 6th of 25; 8 times in 10 between 1st and 11th. Chance of winning: 11 %."
    )
    assert outlook_sentence(found, 5).endswith("Chance of a place among the first 5: 57 %.")
    hopeless = outlook(Form(100, 1), FieldShape(195, 1, 9))
    assert outlook_sentence(hopeless).startswith("On average about 9th of 9. Chance")
    assert outlook_sentence(hopeless).endswith("less than 1 %.")


@pytest.mark.slow
@pytest.mark.outside("computed: scoring-simulation-results.csv, 25 entries, own place and winner")
def test_how_far_a_guess_from_two_totals_is_off():
    """A normal field of 25, half its spread gained: 1.63 places by the curve, 1.78 by the line."""
    rng = np.random.default_rng(25)
    errors = []
    while len(errors) < 3_000:
        totals = rng.normal(0, 1, 25)
        own, others = totals[0], totals[1:]
        place = 1 + int(np.sum(others > own))
        if place > 1:
            true = 1 + np.sum(others > own + 0.5)
            guess = guess_place(place, 25, own, others.max(), 0.5)
            errors.append((guess.curve - true, guess.line - true))
    curve, line = np.sqrt(np.mean(np.square(errors), axis=0))
    assert curve == pytest.approx(1.63, abs=0.25)
    assert line == pytest.approx(1.78, abs=0.35)
