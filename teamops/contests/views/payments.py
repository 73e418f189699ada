"""Payments of a contest: adding, changing and removing them."""

from uuid import UUID, uuid4

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from teamops.contests import actions, queries
from teamops.contests.forms import PaymentForm, refuse_with
from teamops.contests.models import Contest, Payment
from teamops.contests.views.common import GET_OR_POST, contest_of
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def add_payment(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Type a payment; what is still to pay, today and you are there already."""
    contest = contest_of(request, pk)
    today = queries.today_of(request.team)
    kind = request.GET.get("kind", Payment.Kind.FEE)
    start = {
        "kind": kind if kind in Payment.Kind.values else Payment.Kind.FEE,
        "paid_on": today,
        "payer": request.user,
        "payment_id": uuid4(),
    }
    if start["kind"] == Payment.Kind.FEE:
        purse = queries.purse_of(contest, list(contest.payments.all()), today)
        start["amount"] = purse.missing or None
    elif start["kind"] == Payment.Kind.DEPOSIT:
        start["amount"] = contest.deposit
    form = PaymentForm(request.POST or None, contest=contest, initial=start)
    return _payment_page(request, contest, form)


@require_http_methods(GET_OR_POST)
@team_view(Permission.PLAN)
def change_payment(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Change a payment; what was rolled over changes at the other contest too."""
    rows = Payment.objects.for_team(request.team).select_related("payer", "other_contest")
    payment = get_object_or_404(rows, pk=pk)
    contest = contest_of(request, payment.contest_id)
    payment.contest = contest
    form = PaymentForm(request.POST or None, instance=payment, contest=contest)
    return _payment_page(request, contest, form, payment)


def _payment_page(
    request: TeamRequest, contest: Contest, form: PaymentForm, payment: Payment | None = None
) -> HttpResponse:
    if request.method == "POST" and form.is_valid():
        row = form.save(commit=False)
        if payment is None and form.made_id:
            row.pk = _free_id(form.made_id, contest)
        try:
            actions.save_payment(payment=row)
        except ValidationError as error:
            refuse_with(form, error)
        else:
            return redirect(_page_of(request, contest))
    page = {"form": form, "contest": contest, "payment": payment}
    status = 422 if form.errors else 200
    return render(request, "contests/payment_form.html", page, status=status)


def _free_id(made: UUID, contest: Contest) -> UUID:
    """The id a page made, unless it is a payment of somebody else's."""
    there = Payment.objects.filter(pk=made).first()
    if there is not None and there.contest_id != contest.pk:
        raise Http404("No such payment.")
    return made


def _page_of(request: TeamRequest, contest: Contest) -> str:
    page = reverse("contests:show_contest", args=[request.team.slug, contest.pk])
    return f"{page}#payments"


@require_POST
@team_view(Permission.PLAN)
def delete_payment(request: TeamRequest, pk: UUID) -> HttpResponse:
    """Take a payment away, with its line at the other contest."""
    rows = Payment.objects.for_team(request.team).select_related("contest")
    payment = get_object_or_404(rows, pk=pk)
    actions.remove_payment(payment=payment)
    messages.success(request, "The payment is taken away.")
    return redirect(_page_of(request, payment.contest))
