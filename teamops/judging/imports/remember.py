"""What the columns meant the last time, for a table with the same headings."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from hashlib import sha256
from typing import Any

from teamops.calc.reading import plain_words
from teamops.judging.imports.columns import Columns
from teamops.judging.imports.guess import criteria_of
from teamops.judging.imports.headings import find_heading
from teamops.teams.models import ColumnMap, Team


def headings_hash(team: Team, cells: Sequence[Sequence[str]]) -> str:
    """What a table's headings are known again by; nothing for a table without any."""
    heading = find_heading(cells, criteria_of(team))
    if not heading.rows:
        return ""
    plain = "\n".join(plain_words(name) for name in heading.names)
    return sha256(plain.encode()).hexdigest()


def remembered(team: Team, cells: Sequence[Sequence[str]]) -> Columns | None:
    """How a table with these headings was read the last time, its heading found anew; or None."""
    key = headings_hash(team, cells)
    known = ColumnMap.objects.for_team(team).filter(headings=key).first() if key else None
    if known is None:
        return None
    heading = find_heading(cells, criteria_of(team))
    columns = Columns.of(known.columns)
    if len(columns.columns) != len(heading.parts):
        return None
    return replace(columns, heading=tuple(row + 1 for row in heading.rows), answers={})


def remember(
    team: Team, cells: Sequence[Sequence[str]], columns: Columns | Mapping[str, Any]
) -> None:
    """Keep how a table was read, without what was answered for this one alone."""
    key = headings_hash(team, cells)
    if not key:
        return
    if not isinstance(columns, Columns):
        columns = Columns.of(columns)
    kept = replace(columns, answers={}).as_dict()
    ColumnMap.objects.update_or_create(team=team, headings=key, defaults={"columns": kept})
