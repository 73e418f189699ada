"""A box at its table: counted by hand, and the draw of boxes by trying it."""

from decimal import Decimal
from itertools import combinations
from statistics import fmean

import pytest

from teamops.calc.field import at_table, table_words


def points(*totals: str) -> list[Decimal]:
    return [Decimal(total) for total in totals]


def test_places_and_the_middle_by_hand():
    """Third of five at the table, whose middle is its own total less nothing; sixth of nine."""
    found = at_table(
        Decimal(186), points("190", "188", "184", "180"), points("191", "189", "187", "170")
    )
    assert (found.place, found.boxes, found.above) == (3, 5, 0)
    assert (found.field_place, found.field) == (6, 9)
    assert found.apart == pytest.approx(185.5 - 184.25)
    first = table_words(found)[0]
    assert first == (
        "At your table of 5 boxes you were 3rd, at its very middle; in the field 6th of 9."
    )


def test_the_fewest_points_win_where_the_rulebook_says_so():
    found = at_table(Decimal(5), points("6", "9"), points("7", "7", "8"), low_wins=True)
    assert (found.place, found.above, found.field_place) == (1, 1, 1)
    assert "1 point above its middle" in table_words(found)[0]


@pytest.mark.outside("computed: every way to draw the boxes to the table, counted")
def test_eight_of_ten_draws_lie_within_the_chance():
    """Twelve boxes besides ours, five of them at our table: 792 ways."""
    every = [168.2, 171.0, 172.5, 173.9, 175.5, 176.0, 177.7, 178.1, 180.3, 181.4, 183.0, 188.8]
    totals = points(*map(str, every))
    found = at_table(Decimal(175), totals[:5], totals[5:])
    within = ways = 0
    for here in combinations(every, 5):
        there = (sum(every) - sum(here)) / 7
        within += abs(fmean(here) - there) <= found.chance
        ways += 1
    assert within / ways == pytest.approx(0.8, abs=0.03)


@pytest.mark.parametrize(
    ("table", "words"),
    [
        (("150", "152", "151"), "a harsh table, or weak boxes at it."),
        (("199", "198", "200"), "a mild table, or strong boxes at it."),
        (("180", "175", "185"), "no more than the draw of boxes makes by itself"),
    ],
)
def test_a_table_is_called_harsh_only_beyond_the_draw(table, words):
    others = points("170", "175", "180", "185", "190", "178", "182", "176")
    said = table_words(at_table(Decimal(180), points(*table), others))
    assert words in said[1]


def test_what_cannot_be_told_is_not():
    assert at_table(Decimal(180), [], points("170", "175", "180")) is None
    lone = at_table(Decimal(180), points("170"), points("175", "160"))
    assert (lone.apart, lone.chance) == (None, None)
    assert len(table_words(lone)) == 1
