from django.db import models

from teamops.contests.models.entry import Entry
from teamops.teams.fields import PlainTextField
from teamops.teams.models import Photo
from teamops.teams.scoping import ScopedQuerySet


class EntryPhotoQuerySet(ScopedQuerySet["EntryPhoto"]):
    team_path = "entry__contest__team"


class EntryPhoto(models.Model):
    """A photo of one entry, and what it shows; the team's own until the awards."""

    class Shows(models.TextChoices):
        BOX = "box", "the box"
        CUT = "cut", "the cut"
        SHEET = "sheet", "a score sheet"
        TICKET = "ticket", "the ticket"

    photo = models.OneToOneField(
        Photo, models.CASCADE, primary_key=True, editable=False, related_name="of_entry"
    )
    entry = models.ForeignKey(Entry, models.CASCADE, editable=False, related_name="photos")
    shows = models.CharField(max_length=6, choices=Shows, default=Shows.BOX)
    note = PlainTextField(max_length=200, blank=True)

    objects = EntryPhotoQuerySet.as_manager()

    class Meta:
        ordering = ["photo__taken_at", "pk"]

    def __str__(self) -> str:
        return f"{self.get_shows_display()} of {self.entry}"
