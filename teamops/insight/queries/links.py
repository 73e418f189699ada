"""The team's links, with the names of the lists they lead to."""

from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID

from teamops.contests.models import Contest
from teamops.insight.links import Links
from teamops.packing.models import PackingList
from teamops.teams.models import ListLink, Membership, Team
from teamops.teams.roles import Permission

Kind = ListLink.Kind
PAGES = {
    Kind.CHECKLIST: "contests:show_checklist",
    Kind.PREP: "contests:show_prep",
    Kind.PACKING: "packing:show_list",
}


@dataclass(frozen=True, slots=True)
class LinkRow:
    """One link in words; `may_change` says whether this member may renew it or take it back."""

    link: ListLink
    kind: str
    of: str
    url: str
    may_change: bool


def link_rows(team: Team, viewer: Membership) -> list[LinkRow]:
    """Links that were not taken back, oldest first; three queries, however many."""
    rows = list(ListLink.objects.for_team(team).filter(revoked_at=None).select_related("made_by"))
    links, names = Links(team), _names(team, rows)
    return [_row(row, links, names, viewer) for row in rows]


def _names(team: Team, rows: Iterable[ListLink]) -> dict[UUID, str]:
    """The names of the lists by id; those that are gone have none."""
    wanted = [row.object_id for row in rows if row.object_id]
    if not wanted:
        return {}
    contests = Contest.objects.for_team(team).filter(pk__in=wanted).values_list("pk", "name")
    lists = PackingList.objects.for_team(team).filter(pk__in=wanted).values_list("pk", "title")
    return {pk: name for pairs in (contests, lists) for pk, name in pairs}


def _row(row: ListLink, links: Links, names: dict[UUID, str], viewer: Membership) -> LinkRow:
    name = names.get(row.object_id, "") if row.object_id else ""
    page = PAGES.get(Kind(row.kind))
    gone = row.kind != Kind.CALENDAR and not name
    return LinkRow(
        link=row,
        kind=row.get_kind_display(),
        of="the list is gone" if gone else name,
        url=links.to(page, row.object_id) if page and name and row.object_id else "",
        may_change=viewer.may(Permission.PLAN) or row.made_by_id == viewer.user_id,
    )
