"""Payments: what was paid, what is still to pay, what to ask back, and rolling over."""

from datetime import date, timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from teamops.contests import actions
from teamops.contests.models import Contest, Payment
from teamops.contests.queries import payments_part, purse_of, today_of
from tests.factories.contests import ContestFactory, EntryFactory, PaymentFactory

DAY = date(2027, 6, 12)
MAY = date(2027, 5, 3)


@pytest.fixture
def contest(team):
    return ContestFactory(team=team, held_on=DAY, state="entered", fee=Decimal(150))


def pay(contest, amount, kind="fee", on=MAY, **more) -> Payment:
    row = Payment(contest=contest, kind=kind, amount=Decimal(amount), paid_on=on, **more)
    return actions.save_payment(payment=row)


def words_of(contest: Contest, today: date = MAY) -> tuple[dict[str, str], tuple[str, ...]]:
    part = payments_part(contest, today)
    return dict(part.sums), part.asks


def test_fee_paid_is_what_the_payments_say(contest):
    assert contest.fee_paid_on is None
    first = pay(contest, "100", on=MAY)
    assert Contest.objects.get().fee_paid_on is None
    assert words_of(contest)[0] == {"Paid": "100.00 USD", "Still to pay": "50.00 USD"}
    second = pay(contest, "50", on=MAY + timedelta(2))
    assert Contest.objects.get().fee_paid_on == MAY + timedelta(2)
    assert words_of(contest)[0] == {"Paid": "150.00 USD", "Entry fee": "paid on 5 May"}
    actions.remove_payment(payment=second)
    assert Contest.objects.get().fee_paid_on is None
    actions.remove_payment(payment=first)
    assert Contest.objects.get().fee_paid_on is None
    assert Contest.history.filter(fee_paid_on=MAY + timedelta(2)).exists()


def test_paid_is_todays_day_where_no_payment_is_typed(team, cook, contest):
    today = today_of(team)
    contest.state = "paid"
    actions.change_contest(contest=contest, seen=1, by=cook.user)
    assert Contest.objects.get().fee_paid_on == contest.fee_paid_on == today
    contest.state = "accepted"
    actions.change_contest(contest=contest, seen=2, by=cook.user)
    assert Contest.objects.get().fee_paid_on == today
    contest.state = "entered"
    actions.change_contest(contest=contest, seen=3, by=cook.user)
    assert Contest.objects.get().fee_paid_on is None
    new = ContestFactory.build(team=team, trip=contest.trip, state="paid")
    actions.register_contest(contest=new, by=cook.user)
    assert new.fee_paid_on == today


def test_accepted_alone_does_not_say_that_it_is_paid(team, cook, contest):
    contest.state = "accepted"
    actions.change_contest(contest=contest, seen=1, by=cook.user)
    assert Contest.objects.get().fee_paid_on is None


def test_a_higher_fee_is_not_paid_any_more_unless_the_early_one_was(team, cook, contest):
    pay(contest, "150")
    contest.fee = Decimal(170)
    actions.change_contest(contest=contest, seen=1, by=cook.user)
    assert Contest.objects.get().fee_paid_on is None
    contest.early_fee, contest.early_until_on = Decimal(150), MAY
    actions.change_contest(contest=contest, seen=2, by=cook.user)
    assert Contest.objects.get().fee_paid_on == MAY


def test_the_fee_is_the_one_of_the_day_it_was_paid_on(contest):
    contest.early_fee, contest.early_until_on = Decimal(120), MAY
    contest.save()
    pay(contest, "120", on=MAY)
    assert Contest.objects.get().fee_paid_on == MAY
    late = ContestFactory(
        team=contest.team, held_on=DAY, fee=150, early_fee=120, early_until_on=MAY
    )
    pay(late, "120", on=MAY + timedelta(1))
    assert Contest.objects.get(pk=late.pk).fee_paid_on is None
    purse = purse_of(late, list(late.payments.all()), MAY + timedelta(1))
    assert (purse.owed, purse.missing) == (150, 30)


def test_paid_twice_is_said_until_one_came_back(contest):
    pay(contest, "150")
    pay(contest, "150", on=MAY + timedelta(1))
    assert words_of(contest)[1] == ("Two fee payments of 150.00: ask for one back.",)
    pay(contest, "150", kind="refund", on=MAY + timedelta(9))
    assert words_of(contest)[1] == ()
    assert Contest.objects.get().fee_paid_on == MAY
    pay(contest, "20", on=MAY + timedelta(10))
    assert words_of(contest)[1] == ("20.00 more was paid than the fee: ask for it back.",)


def test_two_boxes_paid_for_apart_are_not_paid_twice(contest):
    contest.fee = Decimal(300)
    contest.save()
    for _ in range(2):
        pay(contest, "150", entry=EntryFactory(contest=contest))
    assert words_of(contest)[1] == ()


@pytest.mark.parametrize(
    ("state", "terms", "asks"),
    [
        ("entered", "back", ()),
        ("withdrawn", "back", ("The deposit of 50.00 comes back: ask for it.",)),
        ("withdrawn", "kept", ()),
        ("withdrawn", "rolls", ("The deposit of 50.00 rolls over: say to which contest.",)),
        ("cancelled", "back", (
            "The deposit of 50.00 comes back: ask for it.",
            "150.00 is with a contest that was cancelled: ask for it, or roll it over.",
        )),
        ("cancelled", "", (
            "200.00 is with a contest that was cancelled: ask for it, or roll it over.",
        )),
        ("cancelled", "kept", (
            "150.00 is with a contest that was cancelled: ask for it, or roll it over.",
        )),
        ("postponed", "back", ()),
        ("cooked", "back", ("The deposit of 50.00 comes back: ask for it.",)),
    ],
)  # fmt: skip
def test_what_a_contest_that_is_off_owes_us(contest, state, terms, asks):
    contest.deposit, contest.deposit_terms, contest.state = Decimal(50), terms, state
    contest.save()
    pay(contest, "50", kind="deposit")
    pay(contest, "150")
    assert words_of(contest)[1] == asks
    sums, _ = words_of(contest)
    assert "Still to pay" not in sums
    off = state in ("withdrawn", "cancelled", "postponed")
    assert ("Fee with them" in sums) == off
    if asks:
        pay(contest, "200", kind="refund", on=MAY + timedelta(9))
        assert words_of(contest)[1] == ()


def test_a_deposit_that_counts_is_part_of_the_fee(contest):
    contest.deposit, contest.deposit_terms = Decimal(50), "counts"
    contest.save()
    pay(contest, "50", kind="deposit")
    assert words_of(contest)[0]["Still to pay"] == "100.00 USD"
    pay(contest, "100")
    assert Contest.objects.get().fee_paid_on == MAY


def test_a_state_of_paid_that_the_payments_do_not_bear_out_is_pointed_out(contest):
    contest.state = "paid"
    contest.save()
    pay(contest, "100")
    assert words_of(contest)[1] == ("The state says paid, but 50.00 is still to pay.",)
    assert Contest.objects.get().fee_paid_on is None


def test_rolling_over_writes_both_ends_in_one_press(signed_in, team, contest):
    later = ContestFactory(team=team, name="Later", held_on=date(2027, 9, 1), fee=Decimal(150))
    pay(contest, "150")
    url = reverse("contests:add_payment", args=[team.slug, contest.pk])
    typed = {
        "kind": "out", "amount": "150", "paid_on": "2027-05-09", "other_contest": str(later.pk),
        "payment_id": str(uuid4()),
    }  # fmt: skip
    for _ in range(2):  # sent twice
        assert signed_in.post(url, typed).status_code == 302
    out, across = contest.payments.get(kind="out"), later.payments.get()
    assert (across.kind, across.amount, across.other_contest) == ("in", 150, contest)
    later.refresh_from_db()
    contest.refresh_from_db()
    assert (later.fee_paid_on, contest.fee_paid_on) == (date(2027, 5, 9), None)
    change = reverse("contests:change_payment", args=[team.slug, across.pk])
    signed_in.post(change, {"kind": "in", "amount": "140", "paid_on": "2027-05-09",
                            "other_contest": str(contest.pk)})  # fmt: skip
    out.refresh_from_db()
    assert out.amount == 140
    delete = reverse("contests:delete_payment", args=[team.slug, out.pk])
    assert signed_in.post(delete).status_code == 302
    assert signed_in.post(delete).status_code == 404
    assert not later.payments.exists()
    assert Contest.objects.get(pk=later.pk).fee_paid_on is None


def test_a_kind_changed_takes_the_other_line_away(team, contest):
    later = ContestFactory(team=team)
    row = pay(contest, "150", kind="out", other_contest=later)
    assert later.payments.exists()
    row.kind = "refund"
    actions.save_payment(payment=row)
    assert not later.payments.exists()
    assert row.other_contest is None


@pytest.mark.parametrize("whose", ["same", "theirs"])
def test_nothing_rolls_to_itself_or_to_another_team(contest, whose):
    other = contest if whose == "same" else ContestFactory()
    with pytest.raises(ValidationError):
        pay(contest, "1", kind="out", other_contest=other)
    assert not Payment.objects.exists()


def test_the_form_knows_what_is_still_to_pay(signed_in, team, contest):
    pay(contest, "100", on=timezone.now().date())
    url = reverse("contests:add_payment", args=[team.slug, contest.pk])
    page = signed_in.get(url).content.decode()
    assert 'name="amount" value="50.00"' in page
    assert 'value="fee" selected' in page
    assert 'value="deposit" selected' in signed_in.get(f"{url}?kind=deposit").content.decode()
    assert 'value="fee" selected' in signed_in.get(f"{url}?kind=gold").content.decode()


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"amount": "-5"}, "amount"),
        ({"amount": "much"}, "amount"),
        ({"amount": "1.005"}, "amount"),
        ({"paid_on": ""}, "paid_on"),
        ({"kind": "gold"}, "kind"),
        ({"note": "x" * 201}, "note"),
    ],
)
def test_bad_payments_are_said_at_their_field(signed_in, team, contest, typed, field):
    url = reverse("contests:add_payment", args=[team.slug, contest.pk])
    answer = signed_in.post(url, {"kind": "fee", "amount": "5", "paid_on": "2027-05-03"} | typed)
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == [field]
    assert "1 thing needs a look" in answer.content.decode()
    assert not Payment.objects.exists()


def test_another_teams_payment_is_not_found(signed_in, team, contest):
    theirs = PaymentFactory()
    for name in ("change_payment", "delete_payment"):
        url = reverse(f"contests:{name}", args=[team.slug, theirs.pk])
        assert signed_in.post(url).status_code == 404
    url = reverse("contests:add_payment", args=[team.slug, contest.pk])
    typed = {"kind": "fee", "amount": "5", "paid_on": "2027-05-03", "payment_id": str(theirs.pk)}
    assert signed_in.post(url, typed).status_code == 404
    typed = {"kind": "out", "amount": "5", "paid_on": "2027-05-03",
             "other_contest": str(theirs.contest_id)}  # fmt: skip
    assert signed_in.post(url, typed).status_code == 422


@pytest.mark.parametrize("many", [1, 9])
def test_the_part_takes_one_query(contest, many, django_assert_num_queries):
    for _ in range(many):
        PaymentFactory(contest=contest, entry=EntryFactory(contest=contest))
    with django_assert_num_queries(1):
        assert len(payments_part(contest, MAY).rows) == many


def test_an_amount_is_never_negative(contest):
    with pytest.raises(IntegrityError), transaction.atomic():
        PaymentFactory(contest=contest, amount=-1)
