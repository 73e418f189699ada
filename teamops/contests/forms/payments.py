"""What is asked about a payment."""

from typing import Any
from uuid import UUID

from django import forms

from teamops.contests.forms.common import BoxChoice, narrow, people
from teamops.contests.models import Contest, Entry, Payment
from teamops.teams.models import User
from teamops.web.forms import FriendlyForm


class ContestChoice(forms.ModelChoiceField):
    """A contest, named with its day."""

    def label_from_instance(self, obj: Contest) -> str:
        return f"{obj}, {obj.held_on.day} {obj.held_on:%b %Y}"


class PaymentForm(FriendlyForm, forms.ModelForm):
    """One payment: what for, how much, when, by whom.

    `payment_id`, made by the page, makes a second press harmless.
    """

    payment_id = forms.UUIDField(widget=forms.HiddenInput, required=False)
    entry = BoxChoice(
        label="For which box", queryset=Entry.objects.none(), required=False,
        empty_label="all boxes",
    )  # fmt: skip
    other_contest = ContestChoice(
        label="The other contest", queryset=Contest.objects.none(), required=False,
        empty_label="not said", help_text="Where it was rolled over to, or came from. "
        "Its own page gets the line as well.",
    )  # fmt: skip

    class Meta:
        model = Payment
        fields = ["kind", "amount", "paid_on", "payer", "entry", "other_contest", "note"]
        labels = {"kind": "What"}

    def __init__(self, *args: Any, contest: Contest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        payment, team = self.instance, contest.team
        if payment._state.adding:
            payment.contest = contest
        self.fields["amount"].label = f"Amount, {team.currency}"
        payer: User | None = payment.payer or self.initial.get("payer")
        narrow(self, "payer", people(team, also=payer), empty="not said")
        boxes = contest.entries.select_related("category", "cook_of_record", "contest")
        narrow(self, "entry", boxes)
        others = Contest.objects.for_team(team).exclude(pk=contest.pk)
        narrow(self, "other_contest", others.order_by("-held_on", "name", "pk"))

    @property
    def made_id(self) -> UUID | None:
        """The id that the page made for a new payment."""
        return self.cleaned_data.get("payment_id")
