"""Single marks against their scale: what is pointed out, and in which words."""

from decimal import Decimal

import pytest

from teamops.calc.scoring import Criterion, FlagKind, flag_mark
from teamops.calc.words import brief, list_words, number_word, plain

TASTE = Criterion("taste", "Taste", Decimal(1), Decimal(1), Decimal(10), Decimal("0.5"))
WHOLE = Criterion("taste", "Taste", Decimal(1), Decimal(2), Decimal(9), Decimal(1))


@pytest.mark.parametrize("mark", ["1", "8", "8.5", "10", "8.50"])
def test_a_mark_on_the_scale_has_no_flag(mark):
    assert flag_mark(TASTE, Decimal(mark)) is None


@pytest.mark.parametrize(
    ("mark", "kind", "words"),
    [
        (None, FlagKind.BLANK, "Taste is blank."),
        (
            "8.75",
            FlagKind.BETWEEN_STEPS,
            "Taste 8.75 is between the steps: this book has half marks.",
        ),
        ("10.5", FlagKind.OFF_SCALE, "Taste 10.5 is off the scale, which goes from 1 to 10."),
        ("0", FlagKind.OFF_SCALE, "Taste 0 is off the scale, which goes from 1 to 10."),
    ],
)
def test_an_odd_mark_is_said_in_plain_words(mark, kind, words):
    flag = flag_mark(TASTE, None if mark is None else Decimal(mark))
    assert (flag.kind, flag.words, flag.criterion) == (kind, words, "taste")


@pytest.mark.outside(
    "Kansas City Barbeque Society judging procedures 2004: 2-9, 1 is a penalty mark"
)
def test_a_penalty_mark_below_the_scale_is_allowed_and_pointed_out():
    flag = flag_mark(WHOLE, Decimal(1), penalty_mark=Decimal(1))
    assert (flag.kind, flag.words) == (FlagKind.PENALTY, "Taste has the penalty mark, 1.")
    assert flag_mark(WHOLE, Decimal(1)).kind is FlagKind.OFF_SCALE


def test_a_penalty_mark_within_the_scale_is_a_mark_like_any():
    assert flag_mark(TASTE, Decimal(1), penalty_mark=Decimal(1)) is None


def test_steps_count_from_the_least_mark():
    odd = Criterion("cut", "Cut", Decimal(1), Decimal(1), Decimal(9), Decimal(2))
    assert flag_mark(odd, Decimal(3)) is None
    assert flag_mark(odd, Decimal(4)).words == (
        "Cut 4 is between the steps: this book has steps of 2."
    )


@pytest.mark.parametrize(
    ("least", "most", "words"),
    [
        (None, "10", "Cut 99 is off the scale, which ends at 10."),
        ("100", None, "Cut 99 is off the scale, which starts at 100."),
    ],
)
def test_a_scale_with_one_end(least, most, words):
    ends = [None if end is None else Decimal(end) for end in (least, most)]
    assert flag_mark(Criterion("cut", "Cut", Decimal(1), *ends), Decimal(99)).words == words


def test_a_scale_that_is_not_told_flags_nothing():
    assert flag_mark(Criterion("cut", "Cut"), Decimal("1234.5678")) is None


def test_numbers_and_lists_in_words():
    assert [plain(Decimal(text)) for text in ("180.000", "1.8E+2", "0.50", "100")] == [
        "180",
        "180",
        "0.5",
        "100",
    ]
    assert brief(Decimal("41.66665")) == "41.6667"
    assert [number_word(n) for n in (0, 6, 11)] == ["no", "six", "11"]
    assert [list_words("abc"[:n]) for n in range(4)] == ["", "a", "a and b", "a, b and c"]
