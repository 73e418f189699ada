"""The day's panel, wherever a contest is shown."""

from django import template
from django.utils import timezone

from teamops.contests.models import Contest
from teamops.contests.queries.day import DayBoard
from teamops.contests.queries.day import day_board as read_day_board

register = template.Library()


@register.simple_tag
def day_board(contest: Contest) -> DayBoard:
    """What each box of the contest wants next; four queries."""
    return read_day_board(contest, timezone.now())
