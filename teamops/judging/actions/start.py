"""Sheets that were brought home before the contest was ever written down."""

from datetime import date

from django.db import transaction

from teamops.contests import actions as contests
from teamops.contests.models import Category, Contest, Entry
from teamops.rules.models import Rulebook
from teamops.teams.models import Team, User


@transaction.atomic
def start_scores(
    *, team: Team, name: str, held_on: date, category_name: str, rulebook: Rulebook, by: User
) -> Entry:
    """
    Make a cooked contest and its box in one press, ready for the sheets.

    A contest of this name on this day is taken as it is, and so is a box of this category that is
    there: sent twice, it is made once. Refuses (ValidationError) what a contest's form would.
    """
    Team.objects.select_for_update().get(pk=team.pk)  # one press at a time
    contest = _contest(team, name, held_on, by)
    category = Category.objects.for_team(team).filter(name__iexact=category_name).first()
    if category:
        there = contest.entries.filter(category=category).order_by("pk").first()
        if there:
            return there
    return contests.save_entry(
        entry=Entry(contest=contest, rulebook=rulebook),
        category_name=category.name if category else category_name,
        ancillary=category.ancillary if category else False,
        seen=None,
        by=by,
    )


def _contest(team: Team, name: str, held_on: date, by: User) -> Contest:
    known = Contest.objects.for_team(team).filter(name__iexact=name, held_on=held_on).first()
    if known is None:
        contest = Contest(
            team=team,
            name=name,
            held_on=held_on,
            time_zone=team.time_zone,
            state=Contest.State.COOKED,
        )
        return contests.register_contest(contest=contest, by=by)
    known.team = team
    contests.mark_cooked(contest=known, by=by)
    return known
