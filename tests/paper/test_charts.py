"""Dots over labels: everything asked for is printed, and nothing else can be asked for."""

import math

import pytest

from teamops.paper import Chart, Note, Sheet, render
from tests.paper.papers import TEAM, text_of


def printed(chart: Chart) -> str:
    return text_of(render(Sheet("A season", TEAM, (Note("Before."), chart, Note("After.")))))


def test_dots_carry_their_labels_and_the_scale_its_words():
    chart = Chart((("1", 81.0), ("2", 87.5)), 80.0, 100.0, ((80.0, "80 %"), (100.0, "100 %")))
    words = printed(chart)
    assert words.index("Before.") < words.index("After.")
    assert {"1", "2", "80 %", "100 %"} <= set(words.split("\n"))


def test_many_dots_are_labelled_evenly():
    many = Chart(tuple((f"c{n}", 50.0) for n in range(60)), 0.0, 100.0)
    words = printed(many)
    assert "c0\n" in words
    assert "c3\n" in words
    assert "c1\n" not in words


def test_nothing_to_draw_takes_no_room():
    assert "Before." in printed(Chart((), 0.0, 1.0))


@pytest.mark.parametrize("ends", [(1.0, 1.0), (2.0, 1.0), (math.nan, 1.0), (0.0, math.inf)])
def test_a_scale_needs_two_ends(ends):
    with pytest.raises(ValueError, match="scale"):
        Chart((("1", 1.0),), *ends)


def test_a_dot_must_be_a_number():
    with pytest.raises(ValueError, match="numbers"):
        Chart((("1", math.nan),), 0.0, 1.0)
