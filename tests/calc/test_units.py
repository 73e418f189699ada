from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from teamops.calc.units import (
    c_to_f,
    f_to_c,
    kg_to_pounds,
    pounds_to_kg,
    show_mass,
    show_temperature,
)


@given(st.decimals(0, 99_999, places=3))
def test_pounds_read_back_exactly(pounds):
    assert kg_to_pounds(pounds_to_kg(pounds)) == pounds


@given(st.decimals(-99, 999, places=1))
def test_fahrenheit_reads_back_exactly(fahrenheit):
    assert c_to_f(f_to_c(fahrenheit)) == fahrenheit


@pytest.mark.outside("published: NIST SP 811, appendix B.8, pound (avoirdupois) = 0.45359237 kg")
def test_a_pound_in_kilograms():
    assert pounds_to_kg(Decimal(1)) == Decimal("0.453592")


@pytest.mark.outside("published: NIST SP 811, appendix B.9, t/°C = (t/°F - 32)/1.8")
@pytest.mark.parametrize(("fahrenheit", "celsius"), [("32", "0"), ("212", "100"), ("-40", "-40")])
def test_fixed_points(fahrenheit, celsius):
    assert f_to_c(Decimal(fahrenheit)) == Decimal(celsius)


@pytest.mark.parametrize(
    ("kg", "units", "text"),
    [("1", "us", "2.2 lb"), ("10", "si", "10 kg"), ("0.05", "si", "0.05 kg"), ("0", "us", "0 lb")],
)
def test_masses_for_reading(kg, units, text):
    assert show_mass(Decimal(kg), units) == text


def test_temperatures_for_reading():
    assert show_temperature(f_to_c(Decimal(136)), "us") == "136 °F"
    assert show_temperature(Decimal("57.7778"), "si") == "57.8 °C"


@pytest.mark.parametrize("celsius", ["-0.04", "-17.7955", "-17.8", "0"])
def test_nothing_is_a_hair_below_zero(celsius):
    """A temperature that rounds to zero is zero, in whichever units: never -0."""
    assert "-0 " not in show_temperature(Decimal(celsius), "us")
    assert "-0 " not in show_temperature(Decimal(celsius), "si")
