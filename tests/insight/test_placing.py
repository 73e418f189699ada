"""The past played again with better marks: through the rules of the day and the posted field."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest

from teamops.insight.queries import ledger_choices
from teamops.insight.queries.placing import better_marks, rulebook_of
from teamops.insight.queries.placing.boxes import load_boxes
from teamops.judging.actions import TypedSheet, record_scores
from teamops.judging.models import Result
from teamops.rules.models import Rulebook
from tests.factories.contests import EntryFactory
from tests.factories.judging import PostingFactory, scored_entry
from tests.factories.rules import RulebookFactory
from tests.insight.conftest import TODAY

HALF = Decimal("0.5")
FULL = (10, 10, 10, 10, 10)
GOOD = (9, 9, 9, 9, 9)  # 5 judges: 225 of 250


def better(team, moves=None, **more):
    selection = replace(ledger_choices(team).select(), season=None)
    return better_marks(team, selection, rulebook_of(team, selection), moves, **more)


def post(entry, others, *, ours=None, place=None, size=None, **more):
    """Keep a list with these others (place, name, total) and our line; say so in the entry."""
    total = entry.result.total if ours is None else Decimal(str(ours))
    rows = [(*other,) for other in others]
    if place:
        rows.insert(place - 1, (place, "Oak and Ash", total, {"entry": entry}))
    entry.placing, entry.official_total = place or more.pop("posted", None), total
    entry.field_size = size or len(rows)
    entry.save()
    return PostingFactory(contest=entry.contest, category=entry.category, rows=rows, **more)


def test_each_criterion_is_moved_by_itself_and_the_best_comes_first(team, cook_contest):
    """By hand: 5 judges x 0.5 is 2.5; appearance is at the top and taste has room for half."""
    cook_contest(10, 9, 9.75, 9, 9, weeks=2)
    cook_contest(10, 9, 9, 9, 9, weeks=1)
    found = better(team)
    assert [(row.name, row.points, row.each) for row in found.worth] == [
        ("Doneness", "+2.5", ""),
        ("Texture", "+2.5", ""),
        ("Overall impression", "+2.5", ""),
        ("Taste", "+1.88", "+1.25 to +2.5"),
        ("Appearance", "0", ""),
    ]
    assert found.worth_sentence == (
        "+0.5 in doneness, texture and overall impression would have been worth most at the last "
        "two contests: +2.5 points, on average."
    )
    assert [row.first for row in found.worth] == [True, True, True, False, False]
    assert found.moves == {"doneness": HALF}


def test_a_little_less_room_at_the_top_makes_no_step_the_best(team, cook_contest):
    """By hand: 2.5 at every contest, but 2.25 once where taste has room for 0.45 only."""
    cook_contest(9, 9, 9.55, 9, 9, weeks=2)
    cook_contest(9, 9, 9, 9, 9, weeks=1)
    assert better(team).worth_sentence == (
        "+0.5 is worth much the same in every criterion: +2.38 to +2.5 points at the last two "
        "contests, on average."
    )


def test_the_move_is_told_contest_by_contest(team, cook_contest):
    cook_contest(9, 9, 9, 9, 9, weeks=2)
    cook_contest(9, 9, 9.8, 9, 9, weeks=1)
    found = better(team, {"taste": HALF})
    assert found.sentence == (
        "At the last two contests +0.5 in taste would have been worth +2.5 and +1 points. Five "
        "marks had no room to move."
    )
    latest, first = found.rows
    assert (latest.own, latest.after, latest.gain, latest.capped) == ("229", "230", "+1", "5")
    assert (first.own, first.after, first.gain, first.capped) == ("225", "227.5", "+2.5", "")
    assert latest.would_be == "points only"
    assert latest.how[1] == (
        "Five marks moved; five marks had no room for all of it at the end of the scale."
    )


def test_a_place_is_counted_in_the_posted_field(team, cook_contest):
    entry = cook_contest(*GOOD)
    post(entry, [(1, "Ash", 230), (2, "Birch", 227), (4, "Cedar", 220)], place=3)
    (row,) = better(team, {"taste": HALF}).rows
    assert row.would_be == "2nd instead of 3rd of 4"
    assert row.counted
    assert any("4 entries, 4 with a total" in words for words in row.how)
    (row,) = better(team, {"taste": Decimal(-1)}).rows
    assert (row.gain, row.would_be) == ("−5", "3rd or 4th instead of 3rd of 4")
    assert any("Level on 220" in words for words in row.how)


def test_ties_go_down_the_rulebook_where_the_list_has_its_sums(team, cook_contest):
    """Half a mark of taste levels with Birch on 227.5: taste 47.5 of ours against 46, and 48."""
    for sums, place in (("46", "2nd"), ("48", "3rd")):
        book = RulebookFactory(tie_break=["sum:taste:kept"], name=f"Steps {sums}")
        entry = cook_contest(*GOOD, rulebook=book, weeks=int(sums))
        parts = {"parts": {"Taste": sums}}
        post(entry, [(1, "Ash", 230), (2, "Birch", "227.5", parts)], place=3)
        selection = replace(ledger_choices(team).select(rulebook_id=book.pk), season=None)
        found = better_marks(team, selection, rulebook_of(team, selection), {"taste": HALF})
        assert found.rows[0].would_be in (f"{place} instead of 3rd of 3", f"still {place} of 3")
        assert any("that decides" in w or "Decided by" in w for w in found.rows[0].how)


def test_a_disqualified_rival_is_not_ahead(team, cook_contest):
    entry = cook_contest(*GOOD)
    out = {"note": "DQ"}
    post(entry, [(None, "Ash", 240, out), (1, "Birch", 227)], place=2)
    (row,) = better(team, {"taste": HALF}).rows
    assert row.would_be == "1st instead of 2nd of 3"


def test_a_list_of_two_with_a_thirteenth_place_is_no_field_of_two(team, cook_contest):
    """The winner and we were pasted, and the field's size was taken from the list."""
    entry = cook_contest(*GOOD)
    post(entry, [(1, "Ash", 240)], size=2, posted=13)
    (row,) = better(team, {"taste": Decimal(1)}).rows
    assert row.would_be.startswith("about ")
    assert row.would_be.endswith(" instead of 13th of 13")
    assert not row.counted


def test_from_place_field_and_winner_comes_a_range_that_says_so(team, cook_contest):
    """Of 25 only the winner is posted, 240; we were 8th with 225: 7 places over 15 points."""
    entry = cook_contest(*GOOD)
    post(entry, [(1, "Ash", 240)], posted=8, size=25)
    (row,) = better(team, {"taste": HALF}).rows
    assert row.would_be.startswith("about ")
    assert row.would_be.endswith(" instead of 8th of 25")
    assert any("Estimated from two scores" in words for words in row.how)
    assert not row.counted
    worth = better(team).worth[0]
    assert "estimated" in worth.places


def test_without_a_field_points_are_all_there_is(team, cook_contest):
    entry = cook_contest(*GOOD, placing=7, field_size=20)
    (row,) = better(team, {"taste": HALF}).rows
    assert (row.would_be, row.was, row.list_url) == ("points only", "7th of 20", "")
    assert str(entry.contest_id) in row.lists_url
    assert better(team).worth[0].places == ""


def test_who_was_first_has_nothing_to_gain(team, cook_contest):
    cook_contest(*GOOD, placing=1, field_size=20)
    (row,) = better(team, {"taste": HALF}).rows
    assert row.would_be == "first of 20 already: nothing to gain"


def test_a_posted_total_that_is_not_ours_carries_the_gain(team, cook_contest):
    """Posted 9 short of our sheets: what is gained goes on the posted one, and the page says so."""
    entry = cook_contest(*GOOD)
    post(entry, [(1, "Ash", 230), (2, "Birch", 218)], ours=216, place=3)
    (row,) = better(team, {"taste": HALF}).rows
    assert (row.own, row.after, row.would_be) == ("216", "218.5", "2nd instead of 3rd of 3")
    assert "Our sum 225, posted 216: 9 short." in row.how
    assert "+2.5 on the posted total is 218.5." in row.how


def test_a_list_that_rounds_rounds_the_move_as_well(team, cook_contest):
    """Weighted 0.33, our 224.33 was posted as 224.3: half a mark makes 225.155, posted 225.2."""
    book = RulebookFactory()
    row = book.criteria.get(key="taste")
    row.weight = Decimal("0.33")
    row.save()
    entry = cook_contest(*GOOD, rulebook=book)
    assert entry.result.total == Decimal("194.85")
    post(entry, [(1, "Ash", "195.7")], ours="194.9", place=2)
    (row,) = better(team, {"taste": HALF}).rows
    assert (row.after, row.gain) == ("195.7", "+0.825")
    assert row.would_be == "1st or 2nd instead of 2nd of 2"


def test_a_sheet_is_dropped_anew(team, cook_contest):
    """The lowest sheet is dropped: moved up past another, that other one goes instead."""
    book = RulebookFactory(drop_scope="sheet", drop_low=1, sheets_expected=3)
    table = [[9, 9, 9, 9, 9], [9, 9, 8.5, 9, 9], [9, 9, 6, 10, 10]]
    cook_contest(rulebook=book, table=table)
    found = better(team, {"taste": Decimal(1), "texture": Decimal(-1)})
    assert any("Left out was" in words or "does not count" in words for words in found.rows[0].how)
    assert found.rows[0].own == "89.5"


def test_rounds_and_lateness_are_those_of_the_day(team, cook_contest, owner):
    """The final decides, and 5 points are taken off before and after."""
    entry = cook_contest(weeks=1, table=[])
    keys = list(entry.rulebook.criteria.values_list("pk", flat=True))

    def sheet(mark, name):
        return TypedSheet(uuid4(), dict.fromkeys(keys, Decimal(mark)), round=name)

    sheets = [sheet(5, "Table 2"), *(sheet(9, "Final") for _ in range(5))]
    record_scores(entry=entry, seen=Result.objects.get(entry=entry).version, sheets=sheets,
                  official={}, by=owner.user)  # fmt: skip
    entry.refresh_from_db()
    entry.late, entry.late_points = "docked", Decimal(5)
    entry.save()
    (row,) = better(team, {"taste": HALF}).rows
    assert (row.own, row.after) == ("220", "222.5")
    assert "Several rounds: put together as the rulebook says." in row.how
    assert any("5 points are taken off for coming late" in words for words in row.how)


def test_what_is_played_starts_from_the_stored_total(team, cook_contest):
    """Whatever judging does for a total, the replay does: before the move both are the same."""
    book = RulebookFactory(
        sheets_expected=6, drop_scope="criterion", drop_low=1, drop_high=1, aggregate="mean"
    )
    entries = [cook_contest(*GOOD, weeks=3), cook_contest(9, 7, 8, 6, 5, weeks=2, judges=4)]
    entries.append(cook_contest(weeks=1, rulebook=book, table=[[9, 8, n, 7, 10] for n in range(6)]))
    for box in load_boxes(team, [entry.pk for entry in entries]):
        stored = Result.objects.get(entry=box.entry.pk).total
        assert round(box.before.total, 6) == stored


def test_a_contest_with_its_own_exception_is_played_by_it(team, cook_contest, rulebook):
    """Doubled taste at one contest, by an exception to the book: half a mark is 5 points there."""
    cook_contest(*GOOD, weeks=2)
    cook_contest(*GOOD, weeks=3)
    other = RulebookFactory(team=team, follows=rulebook, exception_why="They count taste twice.")
    taste = other.criteria.get(key="taste")
    taste.weight = Decimal(2)
    taste.save()
    cook_contest(*GOOD, weeks=1, rulebook=other)
    found = better(team, {"taste": HALF})
    assert [row.gain for row in found.rows] == ["+5", "+2.5", "+2.5"]
    assert str(Rulebook.objects.get(pk=other.pk)) in found.rows[0].how[0]


def test_two_boxes_of_a_contest_share_its_day(team, cook_contest):
    """One box has no room in taste, the other gains 2.5: the contest gains 1.25."""
    entry = cook_contest(*GOOD, weeks=1)
    cook_contest(*FULL, contest=entry.contest)
    cook_contest(*GOOD, weeks=2)
    found = better(team, {"taste": HALF})
    assert "worth +2.5 and +1.25 points." in found.sentence
    assert (found.contests, len(found.rows)) == (2, 3)
    assert [bool(row.cook) for row in found.rows] == [True, True, False]


def test_fewest_points_win_moves_down(team, cook_contest):
    book = RulebookFactory(direction="low")
    cook_contest(*GOOD, rulebook=book)
    found = better(team)
    assert {row.step for row in found.worth} == {"−0.5"}
    assert found.worth[0].points == "−2.5"
    assert found.worth[0].first


def test_whole_marks_move_by_whole_marks(team, cook_contest):
    book = RulebookFactory()
    taste = book.criteria.get(key="taste")
    taste.step = Decimal(1)
    taste.save()
    cook_contest(*GOOD, rulebook=book)
    found = better(team)
    assert (found.worth[0].name, found.worth[0].step, found.worth[0].points) == (
        "Taste",
        "+1",
        "+5",
    )
    assert found.unequal_steps


def test_what_does_not_count_is_not_played(team, cook_contest, stranger):
    cook_contest(*GOOD, weeks=1)
    cook_contest(*GOOD, weeks=2, kind="practice")
    cook_contest(*GOOD, weeks=3, disqualified=True)
    cook_contest(weeks=4, table=[], official_total=Decimal(200))
    theirs = EntryFactory(contest__team=stranger.team, contest__past=True)
    scored_entry(theirs, [GOOD] * 5)
    found = better(team, {"taste": HALF})
    assert (found.contests, found.all_contests, len(found.rows)) == (1, 1, 1)


def test_a_left_out_contest_is_not_played(team, cook_contest):
    cook_contest(*GOOD, weeks=1)
    out = cook_contest(*GOOD, weeks=2)
    selection = replace(
        ledger_choices(team).select(), season=None, left_out=frozenset({str(out.contest_id)})
    )
    found = better_marks(team, selection, rulebook_of(team, selection), {"taste": HALF})
    assert found.contests == 1


def test_the_latest_twelve_are_played_unless_all_are_asked_for(team, cook_contest):
    for weeks in range(1, 15):
        cook_contest(*GOOD, weeks=weeks, judges=1)
    found = better(team, {"taste": HALF})
    assert (found.contests, found.all_contests, found.shows_all) == (12, 14, False)
    assert found.rows[0].contest == "Contest 1 weeks ago"
    every = better(team, {"taste": HALF}, every=True)
    assert (every.contests, every.shows_all) == (14, True)
    assert every.sentence == (
        "Over 14 contests +0.5 in taste would have been worth +0.5 points on average, from +0.5 "
        "to +0.5."
    )


@pytest.mark.parametrize("contests", [2, 9])
def test_the_same_queries_however_many_contests(
    team, cook_contest, contests, django_assert_num_queries
):
    for weeks in range(1, contests + 1):
        entry = cook_contest(*GOOD, weeks=weeks, judges=2)
        post(entry, [(1, "Ash", 99), (2, "Birch", 98)], place=3)
    selection = replace(ledger_choices(team).select(), season=None)
    rulebook = rulebook_of(team, selection)
    with django_assert_num_queries(7):
        found = better_marks(team, selection, rulebook, None)
    assert len(found.rows) == contests
    assert found.curve is not None


def test_the_newest_list_with_our_line_holds(team, cook_contest):
    entry = cook_contest(*GOOD)
    day = TODAY - timedelta(days=3)
    post(entry, [(1, "Ash", 230), (2, "Birch", 227)], place=3, posted_on=day)
    post(entry, [(1, "Birch", 227)], place=2, posted_on=day + timedelta(days=1))
    later = day + timedelta(days=2)
    PostingFactory(contest=entry.contest, category=entry.category, posted_on=later,
                   rows=[(1, "Other", 240)])  # fmt: skip
    (row,) = better(team, {"taste": HALF}).rows
    assert row.would_be == "1st instead of 2nd of 2"
