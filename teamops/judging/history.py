"""Writes that leave their line in the history, under the name of who made them."""

from collections.abc import Sequence
from typing import Any, TypeVar

from django.db import models
from django.utils import timezone
from simple_history.utils import get_history_manager_for_model

from teamops.teams.models import User

M = TypeVar("M", bound=models.Model)


def save_with_history(row: Any, *, by: User | None, **options: Any) -> None:
    """Save a row under this name, or nobody's."""
    row._history_user = by
    row.save(**options)


def delete_with_history(row: Any, *, by: User) -> None:
    """Delete a row under this name."""
    row._history_user = by
    row.delete()


def save_without_history(row: Any, **options: Any) -> None:
    """Save a row that its own action goes on to fill: its history starts with that."""
    row.skip_history_when_saving = True
    row.save(**options)
    del row.skip_history_when_saving


def bulk_delete_with_history(rows: Sequence[M], model: type[M], *, by: User) -> None:
    """
    Delete rows on which nothing else depends any more; two queries, none for no rows.

    The package has no bulk way for that: its history is written by a signal for each row.
    """
    if not rows:
        return
    past = get_history_manager_for_model(model).model
    now = timezone.now()
    past.objects.bulk_create(
        past(
            history_date=now,
            history_user=by,
            history_type="-",
            **{f.attname: getattr(row, f.attname) for f in past.tracked_fields},
        )
        for row in rows
    )
    table = model._base_manager.filter(pk__in=[row.pk for row in rows])
    table._raw_delete(table.db)
