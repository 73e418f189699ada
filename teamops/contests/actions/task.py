"""What is done to to-dos and steps."""

from django.db import transaction
from django.utils import timezone

from teamops.contests.models import Task
from teamops.teams.models import User


@transaction.atomic
def save_task(*, task: Task) -> Task:
    """Keep a to-do or a step of the day."""
    task.full_clean()
    task.save()
    return task


def set_task_done(*, task: Task, done: bool, by: User) -> None:
    """Tick a task, or untick it; saying it again keeps the first who and when."""
    who, when = (by, timezone.now()) if done else (None, None)
    rows = Task.objects.filter(pk=task.pk, done_at__isnull=done)
    rows.update(done_by=who, done_at=when, done_as="")  # by a person, not through a link
