"""Kitchen and truck units, to SI and back, so that what was typed reads back exactly.

SI goes into the database at a fixed number of places (kilograms 6, degrees Celsius 4); the same
number of places that people type (3 for masses, 1 for temperatures) is what comes back.
The pound and the inch are exact by the international agreement of 1959.
"""

from decimal import ROUND_HALF_UP, Decimal

KG_PER_LB = Decimal("0.45359237")
MILLIGRAM = Decimal("0.000001")
TENTHOUSANDTH = Decimal("0.0001")


def pounds_to_kg(pounds: Decimal) -> Decimal:
    """Mass in kilograms, to the milligram that the database keeps. [lb] -> [kg]"""
    return (pounds * KG_PER_LB).quantize(MILLIGRAM, ROUND_HALF_UP)


def kg_to_pounds(kg: Decimal) -> Decimal:
    """Mass in pounds, to the 3 places that people type. [kg] -> [lb]"""
    return (kg / KG_PER_LB).quantize(Decimal("0.001"), ROUND_HALF_UP)


def f_to_c(fahrenheit: Decimal) -> Decimal:
    """Temperature in degrees Celsius, to 4 places. [°F] -> [°C]"""
    return ((fahrenheit - 32) * 5 / 9).quantize(TENTHOUSANDTH, ROUND_HALF_UP)


def c_to_f(celsius: Decimal) -> Decimal:
    """Temperature in degrees Fahrenheit, to the tenth that people type. [°C] -> [°F]"""
    return (celsius * 9 / 5 + 32).quantize(Decimal("0.1"), ROUND_HALF_UP)


def show_mass(kg: Decimal, units: str) -> str:
    """A mass for reading: pounds (units 'us') or kilograms, to a tenth, small ones to 2 places."""
    value, unit = (kg_to_pounds(kg), "lb") if units == "us" else (kg, "kg")
    places = Decimal("0.1") if value >= 1 else Decimal("0.01")
    return f"{value.quantize(places, ROUND_HALF_UP).normalize():f} {unit}"


def show_temperature(celsius: Decimal, units: str) -> str:
    """A temperature for reading, to a tenth, in °F (units 'us') or °C."""
    value, unit = (c_to_f(celsius), "°F") if units == "us" else (celsius, "°C")
    shown = value.quantize(Decimal("0.1"), ROUND_HALF_UP) + 0  # 0, not -0
    return f"{shown.normalize():f} {unit}"
