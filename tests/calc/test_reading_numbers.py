"""Numbers and places as lists print them."""

from decimal import Decimal

import pytest

from teamops.calc.reading.numbers import mark_of, number_in, out_in, place_in


@pytest.mark.parametrize(
    ("text", "place", "shared"),
    [
        ("1", 1, False),
        ("1st", 1, False),
        ("22nd", 22, False),
        ("3.", 3, False),
        ("3)", 3, False),
        ("4.0", 4, False),
        ("T-3", 3, True),
        ("T3", 3, True),
        ("3T", 3, True),
        ("=3", 3, True),
        ("3=", 3, True),
        ("3 (tie)", 3, True),
        ("tied 3rd", 3, True),
        ("5*", 5, False),
        (" 7 th ", 7, False),
    ],
)
def test_a_place_is_read_as_it_is_printed(text, place, shared):
    read = place_in(text)
    assert read is not None
    assert (read.place, read.shared) == (place, shared)


@pytest.mark.parametrize("text", ["", "0", "DQ", "182.5", "Route 66", "1-2", "third"])
def test_what_is_no_place_is_none(text):
    assert place_in(text) is None


@pytest.mark.parametrize(
    ("text", "mark", "number"),
    [
        ("182.5", ".", "182.5"),
        ("182,5", ".", "182.5"),
        ("182,5", ",", "182.5"),
        ("1,234.5", ".", "1234.5"),
        ("1,234", ".", "1234"),
        ("1.234,5", ",", "1234.5"),
        ("1.234", ",", "1234"),
        ("1 234,5", ",", "1234.5"),
        ("1’234.5", ".", "1234.5"),
        ("182½", ".", "182.5"),
        ("182 1/2", ".", "182.5"),
        ("½", ".", "0.5"),
        (".75", ".", "0.75"),
        ("190 pts", ".", "190"),
        ("190 Points", ".", "190"),
        ("−5", ".", "-5"),
        ("0", ".", "0"),
    ],
)
def test_a_number_is_read_as_it_is_printed(text, mark, number):
    assert number_in(text, mark) == Decimal(number)


@pytest.mark.parametrize("text", ["", "DQ", "12a", "1.2.3", "8/9", "--", "Smoke 9", "8½½", "1,2,3"])
def test_what_is_no_number_is_none(text):
    assert number_in(text) is None


@pytest.mark.parametrize(
    ("cells", "mark"),
    [
        (["182.5", "190"], "."),
        (["182,5", "190"], ","),
        (["1,234", "998"], "."),
        (["1,234", "998.5"], "."),
        (["1,234.5"], "."),
        (["1.234,5"], ","),
        (["167,440", "160,001"], ","),
        (["1,002 pts"], "."),
        ([], "."),
    ],
)
def test_a_column_tells_its_decimal_sign(cells, mark):
    """A comma before three digits parts thousands, unless that makes a total beyond any contest."""
    assert mark_of(cells) == mark


def test_words_for_being_out():
    assert out_in("DQ") == "disqualified"
    assert out_in(" dnt. ") == "did not turn in"
    assert not out_in("12")
