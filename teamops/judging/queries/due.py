"""What is due of the judges' papers."""

from datetime import date, timedelta

from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from teamops.contests.models import Contest, Entry
from teamops.judging.models import Result
from teamops.teams.due import Due
from teamops.teams.models import Team

REMEMBERED = timedelta(days=60)  # an envelope that never came stops asking after so long


def due(team: Team, until: date) -> list[Due]:
    """Entries cooked in the last 60 days whose papers are not logged; one query.

    From the contest's next day on, or from its awards where their time is known. Not for
    practice, for contests that are off or for boxes that were disqualified.
    """
    today = timezone.localdate(timezone=team.zone)
    over = Q(contest__held_on__lt=today) | Q(contest__awards_at__lt=timezone.now())
    entries = (
        Entry.objects.for_team(team)
        .filter(over, contest__held_on__gte=today - REMEMBERED, contest__held_on__lte=until)
        .filter(contest__kind=Contest.Kind.JUDGED, disqualified=False)
        .filter(Q(result=None) | Q(result__basis=Result.Basis.NONE))
        .exclude(contest__state__in=Contest.OFF)
        .order_by("contest__held_on", "contest__name", "category__name", "pk")
        .values_list("pk", "contest__held_on", "contest__name", "contest__place", "category__name")
    )
    return [
        Due(
            on=held_on,
            what=f"Log the score sheets of {contest} ({category})",
            where=place,
            url=reverse("judging:record_scores", args=[team.slug, pk]),
        )
        for pk, held_on, contest, place, category in entries
    ]
