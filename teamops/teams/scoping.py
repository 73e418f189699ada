"""Rows that belong to a team, and the path that leads there."""

from decimal import Decimal
from typing import Any, Self, TypeVar

from django.db import models

M = TypeVar("M", bound=models.Model, covariant=True)


class ScopedQuerySet(models.QuerySet[M]):
    """Rows that belong to a team, and the path that leads there."""

    team_path = "team"

    def for_team(self, team: Any) -> Self:
        """Only this team's rows: what every look-up by an id from outside goes through."""
        return self.filter(**{self.team_path: team})

    def exact_sum(self, column: str) -> Decimal:
        """Add up a decimal column exactly; SQLite's own SUM adds binary floats."""
        values = self.order_by().values_list(column, flat=True)
        return sum((value for value in values if value is not None), Decimal(0))
