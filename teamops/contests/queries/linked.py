"""The prep sheet as the page behind a link shows it."""

from teamops.contests.queries.checklists import (
    TickBoard,
    TickGroup,
    TickRow,
    count_words,
    done_words,
)
from teamops.contests.queries.prep import PrepRow, PrepSheet


def prep_groups(sheet: PrepSheet) -> TickBoard:
    """The steps box by box, as lines to tick; no query. A step for every box stands once."""
    groups, seen = [], set()
    tasks = []
    for place, box in enumerate(sheet.boxes):
        rows = [row for row in box.rows if row.task.pk not in seen]
        seen |= {row.task.pk for row in rows}
        tasks += [row.task for row in rows]
        groups.append(
            TickGroup(
                mark=f"count-{place}",
                name=f"{box.title}: {box.window}" if box.window else box.title,
                count=count_words(row.task for row in rows),
                rows=tuple(_row(row, sheet) for row in rows),
            )
        )
    left = sum(1 for task in tasks if task.done_at is None)
    return TickBoard(sheet.contest, count_words(tasks), left, tuple(groups))


def _row(row: PrepRow, sheet: PrepSheet) -> TickRow:
    target = f", target {row.target}" if row.target else ""
    at = f"{row.at}, " if row.at else ""
    return TickRow(
        key=str(row.task.pk),
        what=row.what,
        when=f"{at}{row.minutes} min before{target}",
        who=row.person,
        caution=row.caution,
        note="",
        done=row.done,
        state=done_words(row.task, sheet.contest),
    )
