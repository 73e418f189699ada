"""Standing links to one list, for somebody without an account."""

from uuid import UUID

from django.conf import settings
from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.urls import reverse
from django.utils import timezone

from teamops.teams.models import ListLink, Membership, Team, User
from teamops.teams.roles import Permission

ADDRESSES = {
    ListLink.Kind.CALENDAR: "feed:show_feed",
    ListLink.Kind.CHECKLIST: "linked:show_todos",
    ListLink.Kind.PREP: "linked:show_prep",
    ListLink.Kind.PACKING: "loading:show_load",
}


@transaction.atomic
def make_link(
    *,
    team: Team,
    kind: ListLink.Kind,
    object_id: UUID | None = None,
    label: str,
    may: ListLink.May = ListLink.May.SEE,
    by: User,
) -> tuple[ListLink, str]:
    """
    Make a link to one list, and give its address: it is readable only now.

    Refuses (PermissionDenied) who may not plan; the calendar any member may take along.
    """
    link = ListLink(team=team, kind=kind, object_id=object_id, label=label, may=may, made_by=by)
    if not may_give(link):
        raise PermissionDenied(f"Only a cook or an owner of {team} may give a link to a list.")
    address = _address(link, link.renew())
    link.full_clean()
    link.save()
    return link, address


@transaction.atomic
def renew_link(*, link: ListLink, by: User) -> str:
    """Give a link a new secret, from now on in this person's name; the old address stops working.

    Refuses (PermissionDenied) who may neither plan nor made it.
    """
    _refuse(link, by)
    link.made_by = by
    address = _address(link, link.renew())
    link.save(update_fields=["made_by", "token_hash"])
    return address


def revoke_link(*, link: ListLink, by: User) -> None:
    """Take a link back: from now on nobody finds anything there. Twice is once.

    Refuses (PermissionDenied) who may neither plan nor made it.
    """
    _refuse(link, by)
    ListLink.objects.filter(pk=link.pk, revoked_at=None).update(revoked_at=timezone.now())


def may_give(link: ListLink) -> bool:
    """Whether the person in whose name a link is may (still) give it: it never outlives that."""
    place = Membership.objects.for_team(link.team_id).filter(user=link.made_by_id).first()
    needed = Permission.SEE if link.kind == ListLink.Kind.CALENDAR else Permission.PLAN
    return place is not None and place.may(needed)


def _refuse(link: ListLink, by: User) -> None:
    place = Membership.objects.for_team(link.team_id).filter(user=by).first()
    own = place is not None and link.made_by_id == by.pk
    if place is None or not (own or place.may(Permission.PLAN)):
        raise PermissionDenied("Only who made this link, a cook or an owner may do that.")


def _address(link: ListLink, token: str) -> str:
    return settings.PUBLIC_URL + reverse(ADDRESSES[ListLink.Kind(link.kind)], args=[token])
