"""Two phones, one row."""

from typing import Any

from django.db import models
from django.db.models import F

from teamops.teams.models.user import User


class Conflict(Exception):  # noqa: N818 - it is what happened, not a fault
    """Someone wrote this row since it was read; `current` is the row as it is now."""

    def __init__(self, current: Any) -> None:
        super().__init__(f"{current} was changed meanwhile")
        self.current = current


class Versioned(models.Model):
    """A row that two people may edit at once; every write to it is claimed first."""

    version = models.PositiveIntegerField(default=1, editable=False)
    changed_by = models.ForeignKey(
        User, models.PROTECT, null=True, blank=True, editable=False, related_name="+"
    )

    class Meta:
        abstract = True

    def claim(self, *, seen: int, by: User) -> None:
        """Count this write, or raise Conflict(current) if someone wrote since version `seen`."""
        rows = type(self)._base_manager.filter(pk=self.pk)
        if not rows.filter(version=seen).update(version=F("version") + 1, changed_by=by):
            raise Conflict(rows.get())
        self.version, self.changed_by = seen + 1, by
