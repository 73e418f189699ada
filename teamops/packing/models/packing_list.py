from decimal import Decimal
from uuid import uuid4

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from teamops.calc.demand import Condition, TripNumbers
from teamops.contests.models import Trip
from teamops.inventory.models import Kit
from teamops.teams.fields import PlainTextField
from teamops.teams.models import User
from teamops.teams.scoping import ScopedQuerySet
from teamops.teams.versions import Versioned


def _count(label: str, most: int, help_text: str = "") -> models.PositiveSmallIntegerField:
    return models.PositiveSmallIntegerField(
        label, default=0, validators=[MaxValueValidator(most)], help_text=help_text
    )


class PackingListQuerySet(ScopedQuerySet["PackingList"]):
    team_path = "trip__team"


class PackingList(Versioned):
    """What a trip takes along, worked out from its numbers and kept beside them.

    `state` counts every write to the list or its lines, and a line keeps the count of its last
    change, so that a second phone can ask what is new; `shape` is the count when lines came or
    went.
    """

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    trip = models.OneToOneField(Trip, models.CASCADE, editable=False, related_name="packing_list")
    title = PlainTextField(max_length=120)
    kits = models.ManyToManyField(Kit, blank=True, related_name="+")
    entries = _count("entries", 99, "Boxes owed to the judges.")
    steaks = _count("steaks", 99, "The entries without those of an ancillary category.")
    cooks = _count("cooks", 99)
    people = _count("people, cooks included", 99)
    days = _count("days", 60)
    judge_bites = _count("judges’ bites", 999, "Portions of ancillary protein to serve.")
    cook_hours = models.DecimalField(
        "hours of cooking",
        max_digits=5,
        decimal_places=2,
        default=Decimal(0),
        validators=[MinValueValidator(0)],
        help_text="Hours that a fire burns.",
    )
    grills = _count("grills", 20)
    coolers = _count("cold boxes", 20)
    canopies = _count("canopies", 20)
    vehicles = _count("vehicles", 20)
    trailers = _count("trailers", 20)
    conditions = models.JSONField(default=list, blank=True)
    news = models.JSONField(default=list, blank=True, editable=False)
    made_at = models.DateTimeField(editable=False)
    made_by = models.ForeignKey(User, models.PROTECT, editable=False, related_name="+")
    state = models.PositiveIntegerField(default=0, editable=False)
    shape = models.PositiveIntegerField(default=0, editable=False)

    objects = PackingListQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(cook_hours__gte=0), name="packing_list_hours_not_negative"
            ),
            models.CheckConstraint(
                condition=Q(cooks__lte=models.F("people")),
                name="packing_list_people_include_cooks",
                violation_error_message="The cooks are people too: there cannot be fewer people.",
            ),
        ]

    def __str__(self) -> str:
        return self.title

    @property
    def numbers(self) -> TripNumbers:
        """What the amounts are worked out from."""
        names = TripNumbers.__dataclass_fields__
        return TripNumbers(**{name: getattr(self, name) for name in names})

    @property
    def conditions_on(self) -> frozenset[Condition]:
        """What is so on this trip; a trailer speaks for itself."""
        known = {Condition(word) for word in self.conditions if word in set(Condition)}
        return frozenset(known | {Condition.TRAILER} if self.trailers else known)
