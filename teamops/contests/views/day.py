"""What the pages of the day share."""

from uuid import UUID

from django.shortcuts import get_object_or_404

from teamops.contests.models import Entry
from teamops.teams.access import TeamRequest


def entry_of(request: TeamRequest, pk: UUID) -> Entry:
    """One of the team's boxes, with what its words need."""
    rows = Entry.objects.for_team(request.team).select_related(
        "contest__team", "category", "rulebook", "cook_of_record", "turned_in_by"
    )
    return get_object_or_404(rows, pk=pk)
