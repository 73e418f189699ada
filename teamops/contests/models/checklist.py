from uuid import uuid4

from django.db import models
from django.db.models import Q

from teamops.contests.models.task import Anchor
from teamops.teams.fields import PlainTextField
from teamops.teams.models import Team
from teamops.teams.scoping import ScopedQuerySet


class ChecklistTemplate(models.Model):
    """A list of things to do that is put on a contest as it is, again and again."""

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    team = models.ForeignKey(
        Team, models.CASCADE, editable=False, related_name="checklist_templates"
    )
    name = PlainTextField(max_length=80)

    objects = ScopedQuerySet["ChecklistTemplate"].as_manager()

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["team", "name"],
                name="checklisttemplate_name_once_a_team",
                violation_error_message="You have a checklist of this name already.",
            )
        ]

    def __str__(self) -> str:
        return self.name


class TemplateTaskQuerySet(ScopedQuerySet["TemplateTask"]):
    team_path = "template__team"


class TemplateTask(models.Model):
    """One line of a checklist: days from an anchor, or minutes before the turn-in."""

    id = models.UUIDField(primary_key=True, default=uuid4, editable=False)
    template = models.ForeignKey(
        ChecklistTemplate, models.CASCADE, editable=False, related_name="tasks"
    )
    title = PlainTextField("what", max_length=120)
    anchor = models.CharField("counted from", max_length=7, choices=Anchor, default=Anchor.TURN_IN)
    offset_days = models.SmallIntegerField(
        "days after it, or before with a minus", null=True, blank=True
    )
    minutes_before = models.PositiveSmallIntegerField(
        "minutes before turn-in", null=True, blank=True
    )
    caution = PlainTextField(max_length=200, blank=True)

    objects = TemplateTaskQuerySet.as_manager()

    class Meta:
        ordering = ["template", "offset_days", "-minutes_before", "title", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(offset_days__isnull=False, minutes_before=None) & ~Q(anchor="")
                | Q(offset_days=None, minutes_before__isnull=False, anchor=Anchor.TURN_IN),
                name="templatetask_days_or_minutes",
                violation_error_message="Give days from something, or minutes before the turn-in.",
            )
        ]

    def __str__(self) -> str:
        return self.title
