"""A number as it is read off paper."""

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from teamops.judging.forms import PaperNumberField, read_number


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("8", "8"),
        ("8.5", "8.5"),
        ("8,5", "8.5"),
        ("8½", "8.5"),
        ("½", "0.5"),
        (".5", "0.5"),
        ("8.", "8"),
        (" 10 ", "10"),
        ("008", "8"),
        ("8.50000", "8.5"),
        ("0", "0"),
        ("9999.999", "9999.999"),
    ],
)
def test_what_is_typed_is_read(typed, value):
    assert read_number(typed, digits=4, places=3) == Decimal(value)


@pytest.mark.parametrize("typed", ["", " ", "\t", "\u00a0"])
def test_nothing_typed_is_a_blank(typed):
    assert read_number(typed, digits=4, places=3) is None


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("nine", "“nine” is not a number."),
        ("8.5.5", "“8.5.5” is not a number."),
        ("8 5", "“8 5” is not a number."),
        ("1e3", "“1e3” is not a number."),
        ("1_0", "“1_0” is not a number."),
        ("٨", "“٨” is not a number."),
        (".", "“.” is not a number."),
        ("NaN", "“NaN” is not a number."),
        ("8.2½", "“8.2½” is not a number."),
        ("-3", "“-3” is below nothing; marks start at 0."),
        ("−3", "“−3” is below nothing; marks start at 0."),
        ("12345", "“12345” is too large to keep: 4 digits before the point."),
        ("8.1234", "“8.1234” is too fine to keep: 3 places after the point."),
        ("8\0", "This holds a character that cannot be stored."),
        ("x" * 5000, "“xxxxxxxxxxxxxxxxxxxx…” is not a number."),
    ],
)
def test_what_cannot_be_stored_is_told_in_a_sentence(typed, said):
    with pytest.raises(ValidationError) as refused:
        read_number(typed, digits=4, places=3)
    assert refused.value.messages == [said]


@given(st.decimals(0, "9999.999", places=3))
def test_any_mark_that_is_shown_is_read_back_exactly(value):
    field = PaperNumberField()
    assert field.clean(field.prepare_value(value)) == value
    assert field.clean(field.prepare_value(value).replace(".", ",")) == value


@given(st.text(max_size=40))
def test_any_text_is_read_or_refused(text):
    try:
        value = read_number(text, digits=4, places=3)
    except ValidationError:
        return
    assert value is None or 0 <= value < 10000
