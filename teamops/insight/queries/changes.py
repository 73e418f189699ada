"""The page of one change: what its scores tell, from which contests, and what would tell more."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from django.utils.html import escape
from django.utils.safestring import SafeString

from teamops.calc.effects import ChangeEffect, Verdict, effect_of_averages
from teamops.calc.words import count_of, list_words, opening
from teamops.insight.links import Links
from teamops.insight.queries.changes_averages import (
    Average,
    at_top,
    contest_averages,
    has_scale,
    scales_of,
)
from teamops.insight.queries.changes_field import beside_field
from teamops.insight.queries.changes_picture import EffectPicture, effect_picture
from teamops.insight.queries.changes_plan import Plan, plan_of
from teamops.insight.queries.changes_told import (
    Company,
    EffectRow,
    FieldPart,
    caution_sentences,
    company_of,
    effect_rows,
    field_part,
    guess_sentences,
    lead_sentences,
    needed_sentences,
    short_words,
)
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.ledger import full_table
from teamops.insight.words import short_name, untold_words
from teamops.judging.models import Change
from teamops.judging.queries.changes import (
    Pattern,
    change_patterns,
    how_it_stands,
    pattern_of,
    uses_of,
)
from teamops.rules.models import Criterion, Rulebook
from teamops.teams.models import Team

NAN = float("nan")


@dataclass(frozen=True, slots=True)
class Side:
    """The contests without the change, or with it, as table rows ready to print."""

    title: str
    count: int
    rows: SafeString


@dataclass(frozen=True, slots=True)
class ChangeBoard:
    """Everything below the choice on the page of a change.

    `effect` is None where nothing can be compared at all; `seen` names how the change stood.
    `apart` are the seasons, with their addresses' choice, over which no other change went along.
    """

    verdict: str
    look: str
    effect: ChangeEffect | None
    span: str
    sentences: tuple[str, ...]
    cautions: tuple[str, ...]
    rows: tuple[EffectRow, ...]
    picture: EffectPicture | None
    guesses: tuple[str, ...]
    field: FieldPart | None
    needed: tuple[str, ...]
    plan: Plan
    apart: tuple[tuple[int, str], ...]
    columns: tuple[tuple[str, str], ...]
    sides: tuple[Side, ...]
    notes: tuple[str, ...]
    seen: str
    shared: bool

    @property
    def count(self) -> int:
        return sum(side.count for side in self.sides)

    @property
    def settled(self) -> bool:
        """Whether the whole box is clear, so that no more contests need to tell it."""
        return self.effect is not None and self.effect.overall.verdict is Verdict.CLEAR


@dataclass(frozen=True, slots=True)
class Compared:
    """A change over a selection's contests: what was compared, and what it came to."""

    criteria: tuple[Criterion, ...]
    days: tuple[Average, ...]
    on: tuple[bool, ...]
    effect: ChangeEffect | None
    company: Company
    counted: tuple[bool, ...]
    patterns: tuple[Pattern, ...]


def change_board(team: Team, change: Change, selection: Selection, today: date) -> ChangeBoard:
    """The page of a change over a selection; as many queries however many contests."""
    rulebook = book_of(team, selection)
    uses = uses_of(change)
    found = compared(team, change, selection, rulebook)
    effect, company = found.effect, found.company
    sides = (effect.without, effect.with_it) if effect else (0, 0)
    scales = scales_of(found.criteria)
    told = effect is not None and not company.same
    verdict, look = short_words(effect, company)
    shown = [on for on, counts in zip(found.on, found.counted, strict=True) if counts]
    field = _field(team, change, selection, rulebook) if not company.same else None
    return ChangeBoard(
        verdict=verdict,
        look=look,
        effect=effect,
        span=_span(found),
        sentences=_some(lead_sentences(change, effect, company)) if effect else (),
        cautions=_some(caution_sentences(change, effect, company, shown)) if effect else (),
        rows=effect_rows(effect, company) if effect else (),
        picture=effect_picture(effect, found.criteria) if effect and told else None,
        guesses=_some(guess_sentences(effect, scales, _worth(rulebook, found.criteria), company))
        if effect and told
        else (),
        field=field,
        needed=_some(needed_sentences(effect, scales)) if effect and told else (),
        plan=plan_of(team, change, selection.category_id, today, uses, sides),
        apart=_apart(change, selection, found),
        columns=tuple((row.name, short_name(row.name)) for row in found.criteria),
        sides=_sides(team, found),
        notes=tuple(_notes(rulebook, found)),
        seen=how_it_stands(change, uses),
        shared=bool(company.same),
    )


def compared(team: Team, change: Change, selection: Selection, rulebook: Rulebook) -> Compared:
    """The comparison itself; five queries."""
    criteria = tuple(row for row in rulebook.criteria.all() if has_scale(row))
    days = contest_averages(team, selection, criteria) if criteria else []
    counted = [day.contest_id not in selection.left_out and day.is_whole for day in days]
    patterns = change_patterns(team, selection.category_id, contests_of(days))
    parts = at_top(team, selection, criteria) if days else []
    return compare(change, criteria, days, counted, patterns, parts)


def compare(
    change: Change,
    criteria: Sequence[Criterion],
    days: Sequence[Average],
    counted: Sequence[bool],
    patterns: Sequence[Pattern],
    parts: Sequence[float] = (),
) -> Compared:
    """A change over these contests, of which some count; `parts` of marks are at the top."""
    own = next((one.on for one in patterns if one.change.pk == change.pk), None)
    on = own or pattern_of(change, {}, contests_of(days)).on
    used = [place for place, counts in enumerate(counted) if counts]
    shown = [Pattern(one.change, tuple(one.on[n] for n in used)) for one in patterns]
    effect = None
    if criteria:
        effect = effect_of_averages(
            [[NAN if mean is None else mean for mean in days[n].means] for n in used],
            [days[n].sheets for n in used],
            [on[n] for n in used],
            scales_of(criteria),
            parts,
        )
    company = company_of(change, shown)
    return Compared(
        tuple(criteria), tuple(days), tuple(on), effect, company, tuple(counted), tuple(patterns)
    )


def change_picture_of(team: Team, change: Change, selection: Selection) -> EffectPicture | None:
    """What the picture of a change draws; None where there is none."""
    found = compared(team, change, selection, book_of(team, selection))
    if found.effect is None or found.company.same:
        return None
    return effect_picture(found.effect, found.criteria)


def book_of(team: Team, selection: Selection) -> Rulebook:
    """The selection's rulebook with its criteria; two queries."""
    books = Rulebook.objects.for_team(team).prefetch_related("criteria")
    return books.get(pk=selection.rulebook_id)


def contests_of(days: Sequence[Average]) -> list[tuple[str, date]]:
    return [(day.contest_id, day.held_on) for day in days]


def _some(sentences: Sequence[str]) -> tuple[str, ...]:
    return tuple(filter(None, sentences))


def _span(found: Compared) -> str:
    """What stands behind the numbers: 6 contests without it, 4 with it, 50 sheets."""
    if found.effect is None:
        return ""
    rows = zip(found.days, found.counted, strict=True)
    sheets = sum(day.sheets for day, counts in rows if counts)
    without, with_it = found.effect.without, found.effect.with_it
    contests = f"{without} contest{'' if without == 1 else 's'} without it, {with_it} with it"
    return f"{contests}, {sheets} sheet{'' if sheets == 1 else 's'}"


def _worth(rulebook: Rulebook, criteria: Sequence[Criterion]) -> list[float]:
    """What a mark of each criterion is worth at a full table, in points; empty if unknown."""
    every = list(rulebook.criteria.all())
    if untold_words(rulebook) or len(every) != len(criteria):
        return []
    full = full_table(rulebook)
    return [points / float(row.most or 1) for points, row in zip(full, every, strict=True)]


def _field(
    team: Team, change: Change, selection: Selection, rulebook: Rulebook
) -> FieldPart | None:
    """The cheaper evidence, from every contest of the selection whose list is known."""
    beside = beside_field(team, selection, rulebook)
    contests = [(key, one.held_on) for key, one in beside.items()]
    patterns = change_patterns(team, selection.category_id, contests)
    own = next((one.on for one in patterns if one.change.pk == change.pk), ())
    if not own or company_of(change, patterns).same:
        return None
    return field_part(list(beside.values()), own)


def _apart(change: Change, selection: Selection, found: Compared) -> tuple[tuple[int, str], ...]:
    """Single seasons over which the change can be compared by itself, where it cannot over all."""
    company = found.company
    if selection.season is not None or not (company.same or company.mostly):
        return ()
    seasons = []
    for year in sorted({day.held_on.year for day in found.days}, reverse=True):
        rows = enumerate(zip(found.days, found.counted, strict=True))
        places = [n for n, (day, counts) in rows if counts and day.held_on.year == year]
        with_it = sum(found.on[n] for n in places)
        shown = [Pattern(one.change, tuple(one.on[n] for n in places)) for one in found.patterns]
        if min(with_it, len(places) - with_it) >= 2 and company_of(change, shown) == Company():
            seasons.append((year, replace(selection, season=year).query()))
    return tuple(seasons)


def _sides(team: Team, found: Compared) -> tuple[Side, ...]:
    """The contests on each side, the latest first."""
    links, sides = Links(team), []
    for title, which in (("With it", True), ("Without it", False)):
        rows = [
            _row(day, links, counts=counts)
            for day, on, counts in zip(found.days, found.on, found.counted, strict=True)
            if on is which
        ]
        if rows:
            sides.append(Side(title, len(rows), SafeString("".join(reversed(rows)))))
    return tuple(sides)


def _row(day: Average, links: Links, *, counts: bool) -> str:
    """A contest's table row, written here as the ledger's are: there may be two hundred."""
    name, means = escape(day.name), ["–" if mean is None else f"{mean:.2f}" for mean in day.means]
    known = [mean for mean in day.means if mean is not None]
    url = links.to("contests:show_contest", day.contest_id)
    boxes = f" · {day.boxes} boxes" if day.boxes > 1 else ""
    checked = " checked" if not counts and day.is_whole else ""
    tick = (
        f'<input type="checkbox" form="choose" name="out" value="{day.contest_id}" '
        f'aria-label="Leave out {name}"{checked}>'
    )
    return (
        f'<tr{"" if counts else " class=out"}><th scope="row"><a href="{url}" dir="auto">{name}</a>'
        f'<br><span class="small muted">{day.held_on.day} {day.held_on:%b %Y}{boxes}</span></th>'
        f"<td>{'</td><td>'.join(means)}</td><td>{sum(known) / len(known):.2f}</td>"
        f"<td>{tick if day.is_whole else ''}</td></tr>"
    )


def _notes(rulebook: Rulebook, found: Compared) -> list[str]:
    """What a reader of the table should know about it."""
    notes = []
    unknown = [row.name.lower() for row in rulebook.criteria.all() if not has_scale(row)]
    if unknown:
        notes.append(
            f"The rulebook does not say the lowest and the highest mark for {list_words(unknown)},"
            " so that is not compared."
        )
    if rulebook.direction == Rulebook.Direction.LOW:
        notes.append("By this rulebook the lower mark is the better one: down is good.")
    blank = sum(not day.is_whole for day in found.days)
    if blank:
        contests = opening(count_of(blank, "contest"))
        notes.append(f"{contests} without a mark in some criterion cannot be compared.")
    several = sum(day.boxes > 1 for day in found.days)
    if several:
        contests = opening(count_of(several, "contest"))
        notes.append(
            f"{contests} with two boxes or more: their sheets are averaged together, as one table."
        )
    return notes
