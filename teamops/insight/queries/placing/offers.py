"""What an outlook on the next contest can be asked for."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Count, Exists, OuterRef, Q

from teamops.contests.models import Contest, Entry
from teamops.insight.queries.choices import Selection
from teamops.judging.models import Change, Posting
from teamops.teams.models import Team

MOST_CONTESTS = 40


@dataclass(frozen=True, slots=True)
class Offers:
    """Coming contests, posted lists of the category (latest first), and the team's changes."""

    coming: tuple[Contest, ...]
    postings: tuple[Posting, ...]
    changes: tuple[Change, ...]


def offers(team: Team, selection: Selection, today: date) -> Offers:
    """What can be chosen for an outlook; three queries."""
    coming = Contest.objects.for_team(team).coming(today).filter(kind=Contest.Kind.JUDGED)
    changes = Change.objects.for_team(team).filter(
        Q(category=None) | Q(category=selection.category_id)
    )
    return Offers(tuple(coming[:MOST_CONTESTS]), tuple(_postings(team, selection)), tuple(changes))


def _postings(team: Team, selection: Selection) -> list[Posting]:
    """The newest list of each round of a contest where a box of ours was judged by the rulebook."""
    ours = Entry.objects.filter(
        contest=OuterRef("contest"),
        category=selection.category_id,
        rulebook=selection.rulebook_id,
        result__isnull=False,
    )
    rows = (
        Posting.objects.for_team(team)
        .filter(Exists(ours), category=selection.category_id)
        .annotate(totals=Count("lines", filter=Q(lines__total__isnull=False)))
        .filter(totals__gt=0)
        .select_related("contest")
        .defer("text")
        .order_by("-contest__held_on", "contest__name", "-posted_on", "-recorded_at", "-pk")
    )
    newest: dict[tuple[object, str], Posting] = {}
    for row in rows:
        newest.setdefault((row.contest_id, row.round), row)
    return list(newest.values())


def posting_words(posting: Posting) -> str:
    """A posted list as a choice: Wet Boots, 8 May 2027 (20 totals)."""
    contest = posting.contest
    name = f"{contest.name}, {posting.round}" if posting.round else contest.name
    totals = getattr(posting, "totals", 0)
    count = f"{totals} total{'' if totals == 1 else 's'}"
    return f"{name}, {contest.held_on.day} {contest.held_on:%b %Y} ({count})"
