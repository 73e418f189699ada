"""Which fee holds on a day, and what falls due for entering."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from teamops.contests.models import Contest
from teamops.contests.queries import entering_due, entering_rows, fee_now
from tests.factories.contests import ContestFactory, PaymentFactory

DAY = date(2099, 6, 12)


def contest(**more) -> Contest:
    return Contest(
        name="Gravel Bar Final",
        held_on=DAY,
        time_zone="America/Chicago",
        **{name: Decimal(value) if name.endswith("fee") else value for name, value in more.items()},
    )


ALL = {
    "early_fee": Decimal(120), "early_until_on": date(2099, 5, 3), "fee": Decimal(150),
    "late_fee": Decimal(180), "late_from_on": date(2099, 6, 1), "walk_up_fee": Decimal(200),
}  # fmt: skip


@pytest.mark.parametrize(
    ("on", "amount", "words"),
    [
        (date(2099, 1, 1), 120, "early fee 120.00 until 3 May, then 150.00"),
        (date(2099, 5, 3), 120, "early fee 120.00 until 3 May, then 150.00"),
        (date(2099, 5, 4), 150, "150.00 until 31 May, then late fee 180.00"),
        (date(2099, 5, 31), 150, "150.00 until 31 May, then late fee 180.00"),
        (date(2099, 6, 1), 180, "late fee 180.00 until 11 Jun, then walk-up fee 200.00"),
        (date(2099, 6, 11), 180, "late fee 180.00 until 11 Jun, then walk-up fee 200.00"),
        (DAY, 200, "walk-up fee 200.00"),
    ],
)
def test_each_fee_holds_from_its_first_day_to_its_last(on, amount, words):
    now = fee_now(contest(**ALL), on)
    assert (now.amount, now.words) == (amount, words)


@pytest.mark.parametrize(
    ("known", "on", "amount", "words"),
    [
        ({}, DAY, None, ""),
        ({"fee": "150"}, DAY, 150, "150.00"),
        ({"fee": "0"}, DAY, 0, "0.00"),
        ({"fee": "150", "early_fee": "120"}, date(2099, 1, 1), 150, "150.00"),
        ({"fee": "150", "late_fee": "180"}, DAY, 150, "150.00"),
        ({"late_fee": "180", "late_from_on": date(2099, 6, 1)}, DAY, 180,
         "late fee 180.00 since 1 Jun"),
        ({"early_fee": "120", "early_until_on": date(2099, 5, 3)}, date(2099, 5, 4), None,
         "an amount not known yet"),
        ({"early_fee": "120", "early_until_on": date(2099, 5, 3)}, date(2099, 5, 3), 120,
         "early fee 120.00 until 3 May, then an amount not known yet"),
        # the late fee starts before the early one has ended: early holds to its end
        (ALL | {"late_from_on": date(2099, 5, 1)}, date(2099, 5, 3), 120,
         "early fee 120.00 until 3 May, then late fee 180.00"),
        (ALL | {"late_from_on": date(2099, 5, 1)}, date(2099, 5, 4), 180,
         "late fee 180.00 until 11 Jun, then walk-up fee 200.00"),
        # a late fee from the day itself leaves no room for another
        (ALL | {"late_from_on": DAY}, DAY, 180, "late fee 180.00"),
    ],
)  # fmt: skip
def test_what_is_not_known_holds_on_no_day(known, on, amount, words):
    now = fee_now(contest(**known), on)
    assert (now.amount, now.words) == (amount, words)


def rows_of(contest: Contest, today: date) -> list[tuple[date, int, str, str]]:
    return [(on, minutes, row.what, row.at) for on, minutes, row in entering_due([contest], today)]


def test_entering_says_its_days_with_the_clock_of_the_opening(team):
    made = ContestFactory(
        team=team, held_on=DAY, state="considering", deadline_on=date(2099, 6, 5),
        entries_open_at=datetime(2099, 3, 1, 15, 0, tzinfo=UTC), deposit=Decimal(50), **ALL,
    )  # fmt: skip
    assert rows_of(made, date(2099, 1, 1)) == [
        (date(2099, 3, 1), 540, "Entries open", "9:00 am"),
        (date(2099, 5, 3), -1, "Early fee of 120.00 ends, then 150.00", ""),
        (date(2099, 5, 31), -1, "Last day before the late fee 180.00", ""),
    ]
    made.state = "entered"
    assert rows_of(made, date(2099, 5, 4)) == [
        (date(2099, 5, 31), -1, "Last day before the late fee 180.00", ""),
        (date(2099, 6, 5), -1, "Pay the deposit of 50.00", ""),
    ]
    made.fee_paid_on = date(2099, 5, 5)
    PaymentFactory(contest=made, paid_on=date(2099, 5, 5))
    assert rows_of(made, date(2099, 5, 5)) == []


def test_a_practice_has_no_fees(team):
    made = ContestFactory(team=team, held_on=DAY, kind="practice", **ALL)
    assert rows_of(made, date(2099, 1, 1)) == []


@pytest.mark.parametrize("many", [1, 7])
def test_entering_takes_the_same_queries_however_many(team, many, django_assert_num_queries):
    for _ in range(many):
        late = {"deposit": 50, "deposit_terms": "back"}
        off = ContestFactory(team=team, state="cancelled", held_on=DAY, **late)
        PaymentFactory(contest=off, kind="deposit", amount=50)
    with django_assert_num_queries(3):
        rows = entering_rows(team, date(2100, 1, 1))
    assert {row.what for _, _, row in rows} == {"Ask for the deposit of 50.00 back"}
    assert len(rows) == many


def test_another_teams_money_is_not_ours(team):
    theirs = ContestFactory(state="cancelled", deposit_terms="back")
    PaymentFactory(contest=theirs, kind="deposit")
    assert entering_rows(team, date(2100, 1, 1)) == []
