"""Results of many boxes kept at once, for who writes many envelopes in one go."""

from collections.abc import Sequence

from django.utils import timezone
from simple_history.utils import bulk_create_with_history, bulk_update_with_history

from teamops.judging.models import CriterionResult, Result
from teamops.judging.worked import Worked
from teamops.teams.models import User


def keep_results(results: Sequence[tuple[Result, Worked]], *, by: User) -> None:
    """
    Keep what was worked out for these results, each row counted as saved once more.

    As many queries for a thousand as for one, but for the size of a batch. Who calls holds the
    lock, and has seen that nobody saved them meanwhile.
    """
    now = timezone.now()
    new: list[Result] = []
    known: list[Result] = []
    for row, worked in results:
        for name, value in worked.columns.items():
            setattr(row, name, value)
        (new if row._state.adding else known).append(row)
        row.version += 1
        row.changed_by, row.saved_at, row.saved_op, row.scored_at = by, now, None, now
    if new:
        bulk_create_with_history(new, Result, default_user=by)
    if known:
        fields = [*results[0][1].columns, "version", "changed_by", "saved_at", "saved_op",
                  "scored_at"]  # fmt: skip
        bulk_update_with_history(known, Result, fields, default_user=by)
        CriterionResult.objects.filter(result__in=known).delete()
    CriterionResult.objects.bulk_create(
        CriterionResult(result=row, criterion_id=key, **values)
        for row, worked in results
        for key, values in worked.lines.items()
    )
