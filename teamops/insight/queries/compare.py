"""Usual losses side by side: one dimension's groups, each with its contests and its ranges."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from teamops.calc.ledger import UsualLine
from teamops.calc.ledger.usual import FEWEST_CONTESTS
from teamops.insight.bars import Amount, bars
from teamops.insight.drawings import draw_bar
from teamops.insight.queries.choices import Choices, Selection
from teamops.insight.queries.compare_apart import Apart, Judged, taken_apart
from teamops.insight.queries.compare_groups import Names, bundles_of, grouped, opened
from teamops.insight.queries.compare_words import (
    Block,
    GroupLine,
    GroupSum,
    beside_notes,
    beside_words,
)
from teamops.insight.queries.days import Boxes
from teamops.insight.queries.ledger import full_table, usual_at_full_table
from teamops.insight.words import count_words, untold_words
from teamops.rules.models import Rulebook
from teamops.teams.models import Team

MOST_GROUPS = 12  # shown; of more, those with most contests


@dataclass(frozen=True, slots=True)
class Comparison:
    """Groups side by side; `unit` is points, or percent of a full box where boxes differ."""

    selection: Selection
    by: str
    sums: tuple[GroupSum, ...]
    blocks: tuple[Block, ...]
    unit: str
    sentence: str
    notes: tuple[str, ...]
    apart: Apart | None


class _Group(NamedTuple):
    name: str
    rulebook: Rulebook
    known: list[Boxes]
    noted: bool


def comparison(team: Team, choices: Choices, selection: Selection, by: str) -> Comparison:
    """The groups of a dimension within a selection; three queries, however many contests.

    The dimension's own part of the selection is left open: seasons are held side by side over all
    seasons. `by` is one of `dimensions`.
    """
    asked = opened(selection, by)
    books = Rulebook.objects.for_team(team).filter(pk__in={g.rulebook_id for g in choices.groups})
    rulebooks = {book.pk: book for book in books.prefetch_related("criteria")}
    if by not in ("category", "rulebook"):
        rulebooks = {pk: book for pk, book in rulebooks.items() if pk == selection.rulebook_id}
    bundles = bundles_of(team, asked, rulebooks, by)
    found = grouped([one for one in bundles if one.contest_id in choices.contests], choices, by)
    told = {key: group for key, group in found.items() if not untold_words(rulebooks[key[1]])}
    order = sorted(told, key=lambda key: (-len(told[key]), key))[:MOST_GROUPS]
    names = Names(choices, rulebooks, by)
    groups = [
        _Group(names(key), rulebooks[key[1]], told[key], noted=bool(key[0]))
        for key in sorted(order, key=lambda key: (not key[0], names(key)))
    ]
    return _beside(asked, by, groups, len(found) - len(told), len(told) - len(order))


def _beside(
    selection: Selection, by: str, groups: Sequence[_Group], untold: int, more: int
) -> Comparison:
    alike = len({group.rulebook.pk for group in groups}) < 2
    lines: list[tuple[_Group, list[UsualLine]]] = []
    judged: list[Judged] = []
    for group in groups:
        criteria, full = list(group.rulebook.criteria.all()), full_table(group.rulebook)
        usual = usual_at_full_table(criteria, full, group.known)
        judged.append(Judged(group.name, group.rulebook, usual.lines, len(group.known)))
        scale = 1 if alike else 100 / sum(full)
        lines.append((group, [_scaled(line, scale) for line in usual.lines]))
    totals = [sum(line.average for line in own) for _, own in lines]
    sums = [
        GroupSum(group.name, count_words(len(group.known), "contest"), total, draw_bar(bar))
        for (group, _), total, bar in zip(
            lines, totals, bars([Amount(total) for total in totals]), strict=True
        )
    ]
    blocks = _blocks(lines)
    few = [group.name for group, _ in lines if len(group.known) < FEWEST_CONTESTS]
    return Comparison(
        selection=selection,
        by=by,
        sums=tuple(sums),
        blocks=tuple(_drawn(blocks)),
        unit="points" if alike else "% of a full box",
        sentence=beside_words(_blocks([pair for pair in lines if pair[0].noted]), len(groups)),
        notes=tuple(beside_notes(few, by, untold, more)),
        apart=taken_apart(judged) if by == "rulebook" else None,
    )


def _scaled(line: UsualLine, scale: float) -> UsualLine:
    ends = [None if end is None else end * scale for end in (line.low, line.high)]
    return replace(line, average=line.average * scale, low=ends[0], high=ends[1])


def _blocks(lines: Sequence[tuple[_Group, Sequence[UsualLine]]]) -> list[Block]:
    """The lines by criterion's name, in the order in which the criteria come."""
    found: dict[str, tuple[str, list[GroupLine]]] = {}
    for group, own in lines:
        for line in own:
            _, some = found.setdefault(line.name.casefold(), (line.name, []))
            some.append(GroupLine(group.name, line.average, line.low, line.high))
    return [Block(name, tuple(some)) for name, some in found.values()]


def _drawn(blocks: Sequence[Block]) -> Iterable[Block]:
    """The blocks with bars on one scale for all of them."""
    every = [line for block in blocks for line in block.lines]
    drawn = iter(bars([Amount(line.lost, line.low, line.high) for line in every]))
    for block in blocks:
        own = tuple(line._replace(bar=draw_bar(next(drawn))) for line in block.lines)
        yield block._replace(lines=own)
