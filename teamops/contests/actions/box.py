"""Looks at the box before its lid closes: each is kept, none stands in the way."""

from collections.abc import Mapping
from uuid import UUID, uuid4

from django.db import transaction
from django.utils import timezone

from teamops.contests.models import Entry, LidCheck
from teamops.contests.queries.box import box_questions
from teamops.teams.models import User


@transaction.atomic
def keep_lid_check(
    *, entry: Entry, check_id: UUID, answers: Mapping[str, bool], note: str, by: User
) -> LidCheck:
    """Keep the answers with who and when; what was sent twice is kept once.

    A question without an answer was not looked at: then the box is not said to be all right.
    """
    asked = box_questions(entry.rulebook, entry)
    given = [
        {"key": one.key, "asked": one.ask, "right": answers[one.key]}
        for one in asked
        if one.key in answers
    ]
    known = LidCheck.objects.filter(pk=check_id).first()
    if known and (known.entry_id, known.answers, known.note) == (entry.pk, given, note):
        return known
    check = LidCheck(
        pk=uuid4() if known else check_id,  # the page was gone back to: it is another look
        entry=entry,
        answers=given,
        all_right=len(given) == len(asked) and all(one["right"] for one in given),
        note=note,
        checked_by=by,
        checked_at=timezone.now(),
    )
    check.full_clean()
    check.save(force_insert=True)
    return check
