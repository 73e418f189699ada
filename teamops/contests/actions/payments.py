"""What is done to payments, and what they make of "fee paid"."""

from django.core.exceptions import ValidationError
from django.db import transaction

from teamops.contests.models import Contest, Payment
from teamops.contests.queries.payments import purse_of
from teamops.contests.queries.words import today_of

State, Kind = Contest.State, Payment.Kind
UNPAID = (State.CONSIDERING, State.ENTERED, State.WAIT_LIST)
ACROSS = {Kind.ROLLED_OUT: Kind.ROLLED_IN, Kind.ROLLED_IN: Kind.ROLLED_OUT}


@transaction.atomic
def save_payment(*, payment: Payment) -> Payment:
    """Keep a new or changed payment; what was rolled over gets its line at the other contest too.

    A payment that is there already when it is sent again stays as it is. Refuses (ValidationError)
    another contest of another team, and rolling over to the same contest.
    """
    contest = payment.contest
    Contest.objects.select_for_update().get(pk=contest.pk)  # one writer of payments a contest
    before = Payment.objects.filter(pk=payment.pk).first()
    if payment._state.adding and before is not None:
        return before  # sent twice
    _check_other(payment)
    across = _across(before) if before else None
    payment.full_clean()
    payment.save()
    touched = [contest, *_keep_across(payment, across)]
    for row in touched:
        keep_fee_paid(contest=row)
    return payment


@transaction.atomic
def remove_payment(*, payment: Payment) -> None:
    """Take a payment away, with its line at the other contest where it was rolled over."""
    across = _across(payment)
    for row in (payment, across):
        if row is not None:
            row.delete()
            keep_fee_paid(contest=row.contest, had_payments=True)


def keep_fee_paid(*, contest: Contest, had_payments: bool = False) -> None:
    """Store since when the fee is paid: what the payments say, or a state of "paid" without any."""
    stored = Contest.objects.select_for_update().get(pk=contest.pk)
    day = stored.fee_paid_on
    payments = list(stored.payments.all())
    today = today_of(stored.team)
    if payments:
        day = purse_of(stored, payments, today).paid_on
    elif stored.state == State.PAID:
        day = day or today
    elif had_payments or stored.state in UNPAID:
        day = None
    contest.fee_paid_on = day
    if day != stored.fee_paid_on:
        stored.fee_paid_on = day
        stored.save()


def _check_other(payment: Payment) -> None:
    if payment.kind not in ACROSS:
        payment.other_contest = None
    other = payment.other_contest
    if other is None:
        return
    if other.pk == payment.contest_id:
        raise ValidationError({"other_contest": "Choose another contest than this one."})
    if other.team_id != payment.contest.team_id:
        raise ValidationError({"other_contest": "There is no such contest in your team."})


def _across(payment: Payment) -> Payment | None:
    """The line at the other contest that says the same, if there is one."""
    if payment.kind not in ACROSS or payment.other_contest_id is None:
        return None
    rows = Payment.objects.filter(
        contest=payment.other_contest_id,
        other_contest=payment.contest_id,
        kind=ACROSS[Kind(payment.kind)],
        amount=payment.amount,
        paid_on=payment.paid_on,
    )
    return rows.select_related("contest").first()


def _keep_across(payment: Payment, across: Payment | None) -> list[Contest]:
    """Write the same at the other contest; which contests it touched."""
    touched = [across.contest] if across else []
    if payment.kind not in ACROSS or payment.other_contest is None:
        if across:
            across.delete()
        return touched
    if across is None:
        across = Payment()
    across.contest, across.other_contest = payment.other_contest, payment.contest
    across.kind = ACROSS[Kind(payment.kind)]
    across.amount, across.paid_on, across.payer = payment.amount, payment.paid_on, payment.payer
    across.note = payment.note
    across.full_clean()
    across.save()
    return [*touched, across.contest]
