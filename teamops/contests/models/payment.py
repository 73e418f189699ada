from uuid import uuid4

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q

from teamops.contests.models.contest import Contest
from teamops.contests.models.entry import Entry
from teamops.teams.fields import PlainTextField
from teamops.teams.models import User
from teamops.teams.scoping import ScopedQuerySet


class PaymentQuerySet(ScopedQuerySet["Payment"]):
    team_path = "contest__team"


class Payment(models.Model):
    """Money between the team and an organiser for entering; what really happened."""

    class Kind(models.TextChoices):
        FEE = "fee", "entry fee paid"
        DEPOSIT = "deposit", "deposit paid"
        REFUND = "refund", "refund received"
        ROLLED_OUT = "out", "rolled over to another contest"
        ROLLED_IN = "in", "rolled over from another contest"

    OURS = (Kind.FEE, Kind.DEPOSIT, Kind.ROLLED_IN)  # what counts as given; the rest came back

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    contest = models.ForeignKey(Contest, models.CASCADE, editable=False, related_name="payments")
    entry = models.ForeignKey(
        Entry,
        models.SET_NULL,
        null=True,
        blank=True,
        related_name="payments",
        help_text="Leave open if it is for all boxes.",
    )
    kind = models.CharField(max_length=7, choices=Kind, default=Kind.FEE)
    amount = models.DecimalField(
        max_digits=9,
        decimal_places=2,
        validators=[
            MinValueValidator(0, "Write the amount without a minus; the kind says which way.")
        ],
    )
    paid_on = models.DateField("on")
    payer = models.ForeignKey(
        User, models.PROTECT, null=True, blank=True, related_name="+", verbose_name="who paid"
    )
    other_contest = models.ForeignKey(
        Contest, models.SET_NULL, null=True, blank=True, related_name="+"
    )
    note = PlainTextField(max_length=200, blank=True)

    objects = PaymentQuerySet.as_manager()

    class Meta:
        ordering = ["paid_on", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(amount__gte=0), name="payment_amount_not_negative")
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}: {self.amount}"
