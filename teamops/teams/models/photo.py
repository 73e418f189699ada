from uuid import UUID, uuid4

from django.db import models
from django.utils import timezone

from teamops.teams.models.team import Team
from teamops.teams.models.user import User
from teamops.teams.scoping import ScopedQuerySet


def photo_path(photo: "Photo", name: str) -> str:
    """Where a photo is kept: by its own key, so that no name from a phone reaches the disk."""
    key: UUID = photo.pk
    return f"photos/{photo.team_id}/{key}.jpg"


class Photo(models.Model):
    """A picture as it is kept: written anew as JPEG, without the place it was taken at."""

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    team = models.ForeignKey(Team, models.CASCADE, editable=False, related_name="photos")
    file = models.FileField(upload_to=photo_path, editable=False, max_length=200)
    width = models.PositiveIntegerField(editable=False)
    height = models.PositiveIntegerField(editable=False)
    size = models.PositiveIntegerField(editable=False)  # [bytes]
    taken_by = models.ForeignKey(User, models.PROTECT, editable=False, related_name="+")
    taken_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = ScopedQuerySet["Photo"].as_manager()

    class Meta:
        ordering = ["taken_at", "pk"]

    def __str__(self) -> str:
        return f"Photo of {self.taken_at:%d %b %Y}"
