"""Bars and ways are drawn with attributes, and what is typed stays text."""

import pytest

from teamops.insight.bars import WIDTH, Amount, bars
from teamops.insight.drawings import Stop, draw_bar, draw_way, write_stamps


def test_bars_share_one_scale_up_to_the_furthest_end():
    drawn = bars([Amount(5.0, 4.0, 10.0, worst=True), Amount(2.5), Amount(0.0)])
    assert [bar.length for bar in drawn] == [WIDTH / 2, WIDTH / 4, 0.0]
    assert (drawn[0].low, drawn[0].high) == (pytest.approx(0.4 * WIDTH), WIDTH)
    assert (drawn[1].low, drawn[1].high) == (None, None)


def test_a_bar_never_goes_below_nothing():
    """A mark above the scale loses less than nothing; the number says so, the bar ends at 0."""
    assert bars([Amount(-1.0), Amount(2.0)])[0].length == 0.0


def test_bars_of_nothing_lost_are_empty():
    assert [bar.length for bar in bars([Amount(0.0), Amount(0.0)])] == [0.0, 0.0]
    assert bars([]) == []


def test_a_bar_is_drawn_without_styles():
    bar, plain = bars([Amount(5.0, 4.0, 6.0, worst=True), Amount(3.0)])
    drawn = draw_bar(bar)
    assert 'class="lost worst"' in drawn
    assert 'aria-hidden="true"' in drawn
    assert "<line" in drawn
    assert "<line" not in draw_bar(plain)
    assert "style" not in drawn


def test_a_way_says_the_same_to_the_eye_and_the_ear():
    stops = [
        Stop("entered", "", "done"),
        Stop("pay", "by 3 Jun", "now"),
        Stop("turn-in", "", "next"),
    ]
    drawn = draw_way(stops, 'the "words"')
    assert 'aria-label="the &quot;words&quot;"' in drawn
    assert drawn.count('class="tick"') == 1
    assert drawn.count('class="dot"') == 1
    assert 'x2="83%"' in drawn  # the line ends at the last stop
    assert "by 3 Jun" in drawn


def test_stamps_escape_their_words():
    assert write_stamps([("<b>", "hot")]) == ' <span class="stamp hot">&lt;b&gt;</span>'
