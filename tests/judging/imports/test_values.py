"""What single cells say, as people write them."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from teamops.calc.units import c_to_f
from teamops.judging.imports import days, values
from teamops.judging.imports.days import Unread
from teamops.judging.imports.values import Placed
from teamops.judging.paper import read_paper
from tests.judging.paper_cells import CELLS

MAY_3 = date(2025, 5, 3)


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("2025-05-03", "mdy"), ("2025-05-03 13:30", "mdy"), ("2025/5/3", "dmy"),
        ("5/3/2025", "mdy"), ("5/3/25", "mdy"), ("3/5/2025", "dmy"), ("03.05.2025", "dmy"),
        ("3. 5. 2025", "dmy"), ("25-05-03", "ymd"), ("3 May 2025", "mdy"), ("May 3, 2025", "dmy"),
        ("Sat 3rd May 2025", "mdy"), ("Saturday, May 3rd, 2025", "mdy"), ("3. Mai 2025", "mdy"),
        ("45780", "mdy"), ("3-May-25", "mdy"),
    ],
)  # fmt: skip
def test_days_as_people_write_them(text, order):
    assert days.day_in(text, order) == MAY_3


@pytest.mark.parametrize(
    "text", ["", "soon", "2025", "5/2025", "2025-02-30", "31/31/2025", "1/1/1900", "=A1", "3 5 7"]
)
def test_what_is_no_day(text):
    with pytest.raises(Unread, match="a day such as"):
        days.day_in(text, "mdy")


@given(st.dates(date(1970, 1, 1), date(2069, 12, 31)))
def test_a_day_written_either_way_comes_back(day):
    for text, order in (
        (f"{day:%m/%d/%Y}", "mdy"), (f"{day:%d.%m.%y}", "dmy"), (f"{day:%d %B %Y}", "mdy"),
        (day.isoformat(), "dmy"),
    ):  # fmt: skip
        assert days.day_in(text, order) == day


@pytest.mark.parametrize(
    ("text", "mark", "amount"),
    [("$1,200", ".", "1200"), ("1.200,50 €", ",", "1200.50"), ("USD 50", ".", "50"),
     ("150", ".", "150"), ("12,5", ".", "12.5")],
)  # fmt: skip
def test_money(text, mark, amount):
    assert values.money_in(text, mark) == Decimal(amount)


@pytest.mark.parametrize("text", ["-5", "free", "99999999", "1" * 60, "=1"])
def test_what_is_no_money(text):
    with pytest.raises(Unread):
        values.money_in(text, ".")


@pytest.mark.parametrize(
    ("text", "unit", "celsius"),
    [("131", "f", "55"), ("55", "c", "55"), ("131 °F", "c", "55"), ("55 C", "f", "55"),
     ("55,5°C", "f", "55.5"), ("131F", "", "55"), ("131 deg F", "c", "55")],
)  # fmt: skip
def test_temperatures_with_and_without_their_unit(text, unit, celsius):
    assert values.temperature_in(text, ",", unit) == Decimal(celsius)


@pytest.mark.parametrize("text", ["hot", "", "5000", "1" * 60, "C"])
def test_what_is_no_temperature(text):
    with pytest.raises(Unread, match="a temperature such as"):
        values.temperature_in(text, ".", "c")


@given(st.decimals(60, 250, places=1))
def test_a_temperature_reads_back_as_it_was_written(fahrenheit):
    assert c_to_f(values.temperature_in(f"{fahrenheit} °F", ".", "c")) == fahrenheit


@pytest.mark.parametrize(
    ("text", "placed"),
    [
        ("3", Placed(3)), ("3rd", Placed(3)), ("T-3", Placed(3, True)), ("=3", Placed(3, True)),
        ("3/25", Placed(3, of=25)), ("T3 of 25", Placed(3, True, 25)),
        ("DQ", Placed(out="disqualified")), ("DNT", Placed(out="did not turn in")),
    ],
)  # fmt: skip
def test_places(text, placed):
    assert values.placed_in(text) == placed


@pytest.mark.parametrize("text", ["0", "first", "3.5", "3/0", "99999", "-"])
def test_what_is_no_place(text):
    assert not values.is_place(text)


@pytest.mark.parametrize("text", sorted({cell[0] for cell in CELLS if len(cell[0]) <= 40}))
def test_marks_are_read_as_the_paper_is(text):
    """All that paper cells may hold is kept as they keep it, or refused; nothing is read anew."""
    try:
        mark = values.mark_in(text)
    except Unread:
        assert read_paper(text).points is None
    else:
        assert mark == read_paper(text)


@pytest.mark.parametrize(
    ("reader", "text", "value"),
    [
        (values.state_in, "Cooked", "cooked"), (values.state_in, "wait list", "wait_list"),
        (values.seen_in, "Under", "under"), (values.seen_in, "spot on", "right"),
        (values.yes_in, "x", True), (values.yes_in, "No", False), (values.count_in, "25", 25),
    ],
)  # fmt: skip
def test_words_with_a_meaning(reader, text, value):
    assert reader(text) == value
    with pytest.raises(Unread):
        reader("whatever")
