"""A shared rulebook made a team's own, and one contest's departure from a rulebook."""

from collections.abc import Sequence

from django.core.exceptions import ValidationError
from django.db import transaction

from teamops.rules.actions.books import add_rulebook
from teamops.rules.copies import copy_of, exception_edition, free_edition
from teamops.rules.models import Criterion, Rulebook
from teamops.teams.models import Team, User


@transaction.atomic
def make_ours(*, rulebook: Rulebook, team: Team, by: User) -> Rulebook:
    """Copy a shared rulebook into one of the team's own; saying it again finds the first copy."""
    own = Rulebook.objects.filter(team=team, follows=rulebook, exception_why="")
    known = own.filter(name=rulebook.name, edition=rulebook.edition).first()
    if known:
        return known
    copied, criteria = copy_of(rulebook)
    copied.edition = free_edition(team, copied.name, copied.edition)
    return add_rulebook(rulebook=copied, criteria=criteria, team=team, by=by, follows=rulebook)


@transaction.atomic
def make_exception(
    *,
    of: Rulebook,
    why: str,
    team: Team,
    by: User,
    rulebook: Rulebook | None = None,
    criteria: Sequence[Criterion] | None = None,
) -> Rulebook:
    """Keep one contest's departure from a rulebook, with its reason; returns it.

    It starts as a copy unless the changed `rulebook` and `criteria` are given. Refuses
    (ValidationError) one without a reason, and what contradicts itself.
    """
    if not why.strip():
        raise ValidationError({"exception_why": "Say why this contest does it differently."})
    if rulebook is None or criteria is None:
        rulebook, criteria = copy_of(of)
        rulebook.edition = exception_edition(team, of)
    rulebook.exception_why = why.strip()
    return add_rulebook(rulebook=rulebook, criteria=criteria, team=team, by=by, follows=of)
