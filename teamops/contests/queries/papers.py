"""Papers that an organiser or inspector asks to see, and until when they hold."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from django.urls import reverse
from django.utils.text import capfirst

from teamops.contests.models import Contest, TeamPaper
from teamops.contests.queries.words import long_day, today_of
from teamops.teams.due import Due
from teamops.teams.models import Team

AHEAD = timedelta(days=30)


@dataclass(frozen=True, slots=True)
class PaperRow:
    """One paper in words; `warning` says that it ran out, or will have on a contest's day."""

    paper: TeamPaper
    what: str
    about: str
    until: str
    warning: str


def paper_rows(team: Team, today: date) -> list[PaperRow]:
    """The team's papers, the first to run out first; two queries."""
    coming = list(Contest.objects.for_team(team).coming(today).only("name", "held_on"))
    papers = TeamPaper.objects.for_team(team).select_related("holder")
    return [_row(paper, coming, today) for paper in papers]


def papers_short(contest: Contest, today: date) -> list[str]:
    """Which papers will have run out on the contest's day, in words; one query."""
    if contest.held_on < today:
        return []
    papers = TeamPaper.objects.for_team(contest.team).filter(expires_on__lt=contest.held_on)
    return [
        f"{capfirst(paper_name(paper))} {_run_out(paper, contest, today)}."
        for paper in papers.select_related("holder")
    ]


def papers_due(team: Team, until: date) -> list[Due]:
    """Papers to renew: a month ahead, and on their last day until they are renewed; one query."""
    today = today_of(team)
    papers = TeamPaper.objects.for_team(team).filter(expires_on__lte=until + AHEAD)
    url = reverse("contests:show_papers", args=[team.slug])
    rows = [row for paper in papers.select_related("holder") for row in _due(paper, today, url)]
    return [row for row in rows if row.on <= until]


def _due(paper: TeamPaper, today: date, url: str) -> Iterator[Due]:
    last = paper.expires_on
    if last is None:
        return
    name = paper_name(paper)
    if last - AHEAD >= today:
        yield Due(last - AHEAD, f"Renew: {name}, holds until {long_day(last)}", url=url)
    yield Due(last, f"{'Runs' if last >= today else 'Ran'} out: {name}", url=url)


def paper_name(paper: TeamPaper) -> str:
    """What it is, of what, and whose: "food-handler card, Ana"."""
    kind = paper.get_kind_display()
    if paper.kind == TeamPaper.Kind.OTHER and paper.name:
        kind = ""
    parts = (kind, paper.name, str(paper.holder or ""))
    return ", ".join(part for part in parts if part)


def _row(paper: TeamPaper, coming: list[Contest], today: date) -> PaperRow:
    last = paper.expires_on
    warning = ""
    if last and last < today:
        warning = f"ran out on {long_day(last)}"
    elif last:
        late = [contest for contest in coming if contest.held_on > last]
        warning = _run_out(paper, late[0], today) if late else ""
    about = (f"number {paper.number}" if paper.number else "", paper.note)
    return PaperRow(
        paper=paper,
        what=paper_name(paper),
        about=" · ".join(part for part in about if part),
        until=f"holds until {long_day(last)}" if last else "no last day",
        warning=warning,
    )


def _run_out(paper: TeamPaper, contest: Contest, today: date) -> str:
    last = paper.expires_on or today
    days = (contest.held_on - last).days
    verb = "ran" if last < today else "runs"
    return f"{verb} out {days} day{'' if days == 1 else 's'} before {contest}"
