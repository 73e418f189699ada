"""One to-do list out of every dated thing that the apps below know of."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from teamops.contests import queries as contests
from teamops.contests.models import Contest
from teamops.insight.words import day_words, late_words
from teamops.judging import queries as judging
from teamops.packing import queries as packing
from teamops.teams.due import Due
from teamops.teams.models import Team

AHEAD = timedelta(days=42)
SHOWN, SPARED = 12, 3  # rows before the rest is folded away; so few are not worth a fold


@dataclass(frozen=True, slots=True)
class TodoRow:
    """One thing to do in words; `late` says how long it is overdue, empty if it is not."""

    when: str
    late: str
    what: str
    where: str
    url: str
    done_url: str


@dataclass(frozen=True, slots=True)
class Todo:
    """What is due in the next six weeks, the oldest first; `more` is folded away."""

    rows: tuple[TodoRow, ...]
    more: tuple[TodoRow, ...]
    overdue: int

    @property
    def groups(self) -> list[tuple[str, tuple[TodoRow, ...]]]:
        """What stands open, and what is folded away under a title."""
        folded = [(f"{len(self.more)} more in the next six weeks", self.more)] if self.more else []
        return [("", self.rows), *folded] if self.rows else []


def todo_list(
    team: Team,
    today: date,
    *,
    coming: Sequence[Contest] | None = None,
    ahead: packing.Ahead | None = None,
) -> Todo:
    """Everything due up to six weeks from today, overdue things first; eleven queries at most.

    Contests `coming`, with their entries, and the packing lists `ahead` are not asked for again
    where they are known.
    """
    until = today + AHEAD
    lists = packing.due(team, until, ahead)
    due = [*contests.due(team, until, coming), *lists, *judging.due(team, until)]
    many = Counter(due)  # two boxes in one window are one thing to mind
    due = sorted(many, key=lambda row: (row.on, _minutes(row.at)))
    rows = tuple(_row(row, many[row], today) for row in due)
    shown = SHOWN if len(rows) > SHOWN + SPARED else len(rows)
    return Todo(rows[:shown], rows[shown:], sum(1 for row in due if row.on < today))


def _minutes(at: str) -> int:
    """A time of day in minutes, for the order; what has none comes before."""
    try:
        time = datetime.strptime(at, "%I:%M %p")  # noqa: DTZ007 - a time of day, on any clock
    except ValueError:
        return -1
    return time.hour * 60 + time.minute


def _row(due: Due, times: int, today: date) -> TodoRow:
    when = day_words(due.on, today)
    return TodoRow(
        when=f"{when}, {due.at}" if due.at else when,
        late=late_words(due.on, today),
        what=f"{due.what}, {times} boxes" if times > 1 else due.what,
        where=due.where if due.where not in due.what else "",
        url=due.url,
        done_url=due.done_url,
    )
