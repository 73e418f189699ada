"""Addresses of many rows at the price of one look-up."""

from uuid import UUID

from django.urls import reverse

from teamops.teams.models import Team

NOBODY = UUID(int=0)


class Links:
    """One team's addresses: each name is looked up once, however many rows follow."""

    def __init__(self, team: Team) -> None:
        self._slug = team.slug
        self._patterns: dict[str, str] = {}

    def to(self, name: str, pk: UUID | str) -> str:
        """The address of this page for this row; NoReverseMatch if no page has the name."""
        if name not in self._patterns:
            self._patterns[name] = reverse(name, args=[self._slug, NOBODY])
        return self._patterns[name].replace(str(NOBODY), str(pk))
