"""Days on paper: one wording for every app's sheets."""

from datetime import date, timedelta

import pytest

from teamops.paper import long_day, printed_on, short_day

DAY = date(2027, 6, 5)


def test_a_day_has_its_weekday_and_its_month_in_letters():
    assert long_day(DAY) == "Saturday, 5 June 2027"
    assert short_day(DAY) == "Sat 5 Jun 2027"
    assert printed_on(DAY) == "Printed Sat 5 Jun 2027"


@pytest.mark.parametrize("number", range(0, 400, 7))
def test_every_day_is_the_calendars_own(number):
    day = DAY + timedelta(days=number)
    assert long_day(day) == f"{day:%A}, {day.day} {day:%B %Y}"
    assert short_day(day) == f"{day:%a} {day.day} {day:%b} {day.year}"
