"""What was paid for entering, what is still to pay, and what to ask back."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from uuid import UUID

from django.utils import timezone

from teamops.contests.models import Contest, Payment
from teamops.contests.queries.fees import fee_now
from teamops.contests.queries.words import short_day

NOTHING = Decimal(0)
State, Kind, Deposit = Contest.State, Payment.Kind, Contest.Deposit


@dataclass(frozen=True, slots=True)
class Purse:
    """What an organiser holds of ours. [team's currency]

    `owed` is the fee that had to be paid, None where it is not known; `paid_on` the day from which
    the payments covered it.
    """

    fee: Decimal
    deposit: Decimal
    owed: Decimal | None
    paid_on: date | None

    @property
    def over(self) -> Decimal:
        return NOTHING if self.owed is None else max(NOTHING, self.fee - self.owed)

    @property
    def missing(self) -> Decimal:
        return NOTHING if self.owed is None else max(NOTHING, self.owed - self.fee)


@dataclass(frozen=True, slots=True)
class Ask:
    """Money to ask an organiser for: on the page, in the to-do list, and since when."""

    words: str
    todo: str
    on: date


@dataclass(frozen=True, slots=True)
class PaymentRow:
    """One payment, ready to print."""

    payment: Payment
    on: str
    what: str
    amount: str
    about: str


@dataclass(frozen=True, slots=True)
class PaymentsPart:
    """The payments of one contest, what they come to, and what to ask for."""

    rows: tuple[PaymentRow, ...]
    sums: tuple[tuple[str, str], ...]
    asks: tuple[str, ...]
    fee: str
    currency: str


def payments_part(contest: Contest, today: date) -> PaymentsPart:
    """What the contest's page shows of money; one query."""
    rows = contest.payments.select_related("payer", "other_contest", "entry__category")
    payments = list(rows)
    currency = contest.team.currency
    purse = purse_of(contest, payments, today)
    asks = [ask.words for ask in money_asks(contest, payments, today)]
    if contest.state == State.PAID and payments and purse.missing:
        asks.append(f"The state says paid, but {purse.missing:.2f} is still to pay.")
    return PaymentsPart(
        rows=tuple(_row(payment, currency) for payment in payments),
        sums=tuple(_sums(contest, purse, payments, currency)),
        asks=tuple(asks),
        fee=fee_now(contest, today).words,
        currency=currency,
    )


def payments_by_contest(contests: Iterable[Contest]) -> dict[UUID, list[Payment]]:
    """The payments of these contests; one query."""
    found: dict[UUID, list[Payment]] = defaultdict(list)
    for payment in Payment.objects.filter(contest__in=[row.pk for row in contests]):
        found[payment.contest_id].append(payment)
    return found


def purse_of(contest: Contest, payments: Sequence[Payment], today: date) -> Purse:
    """Go through the payments in the order of their days; asks nothing.

    The fee to pay is the one that held on the day when the payments first covered it. What came
    back is taken from what was paid too much, then from the deposit, then from the fee.
    """
    fee, deposit = NOTHING, NOTHING
    locked, paid_on = None, None
    for payment in sorted(payments, key=lambda row: (row.paid_on, row.kind not in Payment.OURS)):
        owed = locked if locked is not None else fee_now(contest, payment.paid_on).amount
        amount = payment.amount
        if payment.kind == Kind.DEPOSIT and contest.deposit_terms != Deposit.COUNTS:
            deposit += amount
        elif payment.kind in Payment.OURS:
            fee += amount
        else:
            over = max(NOTHING, fee - owed) if owed is not None else NOTHING
            from_deposit = min(deposit, max(NOTHING, amount - over))
            deposit -= from_deposit
            fee -= amount - from_deposit
        covered = fee > 0 and (owed is None or fee >= owed)
        locked = owed if covered else None
        paid_on = (paid_on or payment.paid_on) if covered else None
    return Purse(
        fee, deposit, locked if locked is not None else fee_now(contest, today).amount, paid_on
    )


def money_asks(contest: Contest, payments: Sequence[Payment], today: date) -> list[Ask]:
    """What is to ask back from the organiser; empty where all is as it should be. Asks nothing."""
    if not payments:
        return []
    purse = purse_of(contest, payments, today)
    last = max(payment.paid_on for payment in payments)
    asks = _off_asks(contest, purse, last) if contest.is_off else _twice(purse, payments, last)
    over = contest.held_on < today or contest.state == State.COOKED
    if over and not contest.is_off and purse.deposit and contest.deposit_terms == Deposit.BACK:
        asks.append(_deposit_ask(purse, contest.held_on))
    return asks


def _twice(purse: Purse, payments: Sequence[Payment], last: date) -> list[Ask]:
    """A fee that was paid twice, or more than it was."""
    many = Counter((p.amount, p.entry_id) for p in payments if p.kind == Kind.FEE)
    for (amount, _), times in many.items():
        if times > 1 and amount and (purse.over >= amount or (purse.owed is None and purse.fee)):
            unsure = "" if purse.owed is not None else " if one box was meant"
            words = f"{_count(times)} fee payments of {amount:.2f}: ask for one back{unsure}."
            return [Ask(words, f"Ask for {amount:.2f} back: the fee was paid twice", last)]
    if purse.over:
        words = f"{purse.over:.2f} more was paid than the fee: ask for it back."
        return [Ask(words, f"Ask for {purse.over:.2f} back: more was paid than the fee", last)]
    return []


def _off_asks(contest: Contest, purse: Purse, last: date) -> list[Ask]:
    """What a contest that will not be cooked owes us."""
    asks = []
    off = contest.get_state_display()
    if purse.deposit and contest.deposit_terms == Deposit.BACK and contest.state != State.POSTPONED:
        asks.append(_deposit_ask(purse, last))
    rolls = contest.deposit_terms == Deposit.ROLLS
    if contest.state == State.CANCELLED:
        left = purse.fee + (purse.deposit if contest.deposit_terms in ("", Deposit.ROLLS) else 0)
        if left > 0:
            words = f"{left:.2f} is with a contest that was {off}: ask for it, or roll it over."
            asks.append(Ask(words, f"Ask for {left:.2f} back, or roll it over", last))
    elif contest.state == State.WITHDRAWN and rolls and purse.deposit:
        words = f"The deposit of {purse.deposit:.2f} rolls over: say to which contest."
        asks.append(Ask(words, f"Roll the deposit of {purse.deposit:.2f} over", last))
    return asks


def _deposit_ask(purse: Purse, on: date) -> Ask:
    amount = f"{purse.deposit:.2f}"
    return Ask(
        f"The deposit of {amount} comes back: ask for it.",
        f"Ask for the deposit of {amount} back",
        on,
    )


def days_off(contests: Sequence[Contest]) -> dict[UUID, date]:
    """Since which day each of these has been off; one query, none for none."""
    if not contests:
        return {}
    states = {row.pk: row.state for row in contests}
    found: dict[UUID, date] = {}
    past = Contest.history.filter(id__in=list(states)).order_by("history_date", "history_id")
    for pk, state, at in past.values_list("id", "state", "history_date"):
        if state != states[pk]:
            found.pop(pk, None)
        else:
            found.setdefault(pk, timezone.localdate(at))
    return found


def _row(payment: Payment, currency: str) -> PaymentRow:
    other, way = payment.other_contest, "to" if payment.kind == Kind.ROLLED_OUT else "from"
    about = [
        f"by {payment.payer}" if payment.payer else "",
        f"for {payment.entry.category}" if payment.entry else "",
        f"{way} {other}" if other else "",
        payment.note,
    ]
    return PaymentRow(
        payment=payment,
        on=f"{payment.paid_on.day} {payment.paid_on:%b %Y}",
        what=payment.get_kind_display(),
        amount=f"{payment.amount:.2f} {currency}",
        about=" · ".join(part for part in about if part),
    )


def _sums(
    contest: Contest, purse: Purse, payments: Sequence[Payment], currency: str
) -> list[tuple[str, str]]:
    """What the payments come to, line by line."""
    given = sum((p.amount for p in payments if p.kind in Payment.OURS), NOTHING)
    back = sum((p.amount for p in payments if p.kind not in Payment.OURS), NOTHING)
    lines = [("Paid", given)] if given else []
    lines += [("Came back or rolled over", back)] if back else []
    words = [(label, f"{amount:.2f} {currency}") for label, amount in lines]
    if purse.deposit:
        terms = contest.get_deposit_terms_display() if contest.deposit_terms else ""
        says = f" ({terms})" if terms else ""
        words.append(("Deposit with them", f"{purse.deposit:.2f} {currency}{says}"))
    if contest.is_off:
        held = [("Fee with them", f"{purse.fee:.2f} {currency}")] if purse.fee else []
        return words + held
    if purse.missing:
        words.append(("Still to pay", f"{purse.missing:.2f} {currency}"))
    elif purse.paid_on:
        words.append(("Entry fee", f"paid on {short_day(purse.paid_on)}"))
    return words


def _count(number: int) -> str:
    return {2: "Two", 3: "Three", 4: "Four"}.get(number, str(number))
