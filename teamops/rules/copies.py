"""A rulebook copied, to start another from."""

import re
from collections.abc import Sequence

from teamops.rules.models import Criterion, Rulebook
from teamops.teams.models import Team

NOT_COPIED = {
    "id", "team", "family", "follows", "exception_why", "frozen_at", "put_away_at",
}  # fmt: skip
LONGEST = 40  # an edition's name


def copy_of(rulebook: Rulebook) -> tuple[Rulebook, list[Criterion]]:
    """An unsaved rulebook that says the same, and its unsaved criteria; one query."""
    copied = Rulebook(
        **{
            field.name: getattr(rulebook, field.name)
            for field in Rulebook._meta.concrete_fields
            if field.name not in NOT_COPIED
        }
    )
    names = [f.name for f in Criterion._meta.concrete_fields if f.name not in ("id", "rulebook")]
    rows = [
        Criterion(**{name: getattr(row, name) for name in names}) for row in rulebook.criteria.all()
    ]
    return copied, rows


def next_edition(edition: str) -> str:
    """What would follow: 2026 after 2025, 2 after 1 or after no edition at all."""
    number = re.search(r"\b\d{1,9}\b(?!.*\b\d{1,9}\b)", edition, re.ASCII)
    if number is None:
        return f"{edition[: LONGEST - 2]} 2".strip()
    after = str(int(number[0]) + 1)
    return (edition[: number.start()] + after + edition[number.end() :])[:LONGEST]


def free_edition(team: Team, name: str, wanted: str) -> str:
    """The edition wanted, or with the next number that this team has not used; one query."""
    used = set(Rulebook.objects.filter(team=team, name=name).values_list("edition", flat=True))
    return first_free(wanted, sorted(used))


def free_next_edition(team: Team, rulebook: Rulebook) -> str:
    """The edition after this one that the team has not used yet; one query."""
    rows = Rulebook.objects.filter(team=team, name=rulebook.name)
    used = set(rows.values_list("edition", flat=True))
    wanted = next_edition(rulebook.edition)
    for _ in used:
        if wanted in used:
            wanted = next_edition(wanted)
    return first_free(wanted, sorted(used))


def exception_edition(team: Team, of: Rulebook) -> str:
    """What an exception's edition is called until someone says otherwise; one query."""
    return free_edition(team, of.name, f"{of.edition} exception".strip())


def first_free(wanted: str, used: Sequence[str]) -> str:
    """The wanted words, numbered on if they are used."""
    found, number = wanted[:LONGEST], 2
    while found in used:
        tail = f" {number}"
        found, number = wanted[: LONGEST - len(tail)] + tail, number + 1
    return found
