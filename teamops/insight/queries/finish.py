"""The finish temperature that scores best, from what was noted of the boxes and their marks."""

import json
from collections.abc import Sequence
from dataclasses import dataclass, field
from hashlib import sha256

from django.utils.html import escape
from django.utils.safestring import SafeString

from teamops.calc.temperature import BestTemperature, best_temperature
from teamops.contests.models import Category, Entry
from teamops.insight.links import Links
from teamops.insight.queries import finish_words as words
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.finish_cooks import (
    Cook,
    Moment,
    Target,
    boxes_of,
    cooks_of,
    target_of,
    usual_moment,
)
from teamops.insight.queries.named import doneness_of
from teamops.rules.models import Criterion, Rulebook
from teamops.teams.models import Team

WIDTH, HEIGHT = 360, 320  # CSS pixels
DRAWING = 2  # counts up when the same numbers are drawn another way
TEN_WIDE = 9.0  # marks from 1 to 10: the scale that beliefs about curve and noise are made for


@dataclass(frozen=True, slots=True)
class FinishCurve:
    """What the picture draws: cooks by number, the aim and the best range. [°C, marks]

    `low`, `median` and `high` are None where the best cannot be told; then there is no curve.
    """

    moment: str
    criterion: str
    units: str
    least: float
    most: float
    cooks: tuple[tuple[int, float, float], ...]
    target_c: float
    low: float | None
    median: float | None
    high: float | None
    words: str = field(default="", compare=False)

    size = (WIDTH, HEIGHT)

    @property
    def key(self) -> str:
        """A name for exactly this content."""
        told = [DRAWING, self.moment, self.criterion, self.units, self.least, self.most]
        content = json.dumps([*told, self.cooks, self.target_c, self.low, self.median, self.high])
        return sha256(content.encode()).hexdigest()[:24]


@dataclass(frozen=True, slots=True)
class FinishBoard:
    """Everything on the page; `rows` are the cooks, the latest first, as table rows to print.

    `moments` and `criteria` are what can be chosen, as (value, words). `best` and `curve` are None
    where there is nothing to reckon with; `silence` says why.
    """

    category: Category
    moment: Moment
    moments: tuple[tuple[str, str], ...]
    criterion: Criterion | None
    criteria: tuple[tuple[str, str], ...]
    aim: str
    sentence: str
    notes: tuple[str, ...]
    before: str
    after: str
    cautions: tuple[str, ...]
    rows: SafeString
    count: int
    curve: FinishCurve | None


def finish_board(
    team: Team, selection: Selection, moment: Moment | None = None, criterion: int | None = None
) -> FinishBoard:
    """The board of a selection; four queries, however many contests.

    Without a moment, the one that most boxes have; a criterion that is none of the rulebook's
    gives way to the one that is called doneness.
    """
    category = Category.objects.for_team(team).get(pk=selection.category_id)
    books = Rulebook.objects.for_team(team).prefetch_related("criteria")
    rulebook = books.get(pk=selection.rulebook_id)
    criteria = list(rulebook.criteria.all())
    chosen = next((row for row in criteria if row.pk == criterion), None) or doneness_of(criteria)
    boxes = boxes_of(team, selection, chosen.pk) if chosen else []
    counted = [box for box in boxes if box.contest_id not in selection.left_out]
    moment = moment or usual_moment(counted)
    target = target_of(category.aim_c, moment, counted)
    cooks = cooks_of(boxes, moment, selection.left_out)
    silence = words.silence(rulebook, chosen, boxes, category)
    best = None if silence or chosen is None else _best(cooks, chosen, target)
    told = best if best and best.told else None
    return FinishBoard(
        category=category,
        moment=moment,
        moments=tuple(words.moment_options(boxes)),
        criterion=chosen,
        criteria=tuple((str(row.pk), row.name) for row in criteria),
        aim=words.aim_words(category, team.units),
        sentence=silence or words.best_words(best, moment, team.units),
        notes=tuple(words.notes(cooks, boxes, moment, target, best, team.units)),
        before=words.before(target, moment, team.units) if best else "",
        after=words.after(best, team.units) if best else "",
        cautions=tuple(words.cautions(category, target, told, team.units)),
        rows=_rows(cooks, team),
        count=len(cooks),
        curve=_curve(cooks, chosen, moment, target, told, team.units) if best and chosen else None,
    )


def _best(cooks: Sequence[Cook], criterion: Criterion, target: Target) -> BestTemperature | None:
    """The belief after the cooks that count; None where there is none."""
    counted = [cook for cook in cooks if not cook.left_out]
    if not counted:
        return None
    marks = [ten_wide(cook.mean, *_scale(criterion)) for cook in counted]
    return best_temperature([cook.at_c for cook in counted], marks, target.at_c)


def _scale(criterion: Criterion) -> tuple[float, float]:
    return float(criterion.least or 0), float(criterion.most or 0)


def ten_wide(mark: float, least: float, most: float) -> float:
    """A mark as it would stand on a scale from 1 to 10, by its share of the own scale."""
    return 1 + TEN_WIDE * (mark - least) / (most - least)


def _curve(
    cooks: Sequence[Cook],
    criterion: Criterion,
    moment: Moment,
    target: Target,
    told: BestTemperature | None,
    units: str,
) -> FinishCurve:
    least, most = _scale(criterion)
    counted = [cook for cook in cooks if not cook.left_out]
    return FinishCurve(
        moment=moment.label,
        criterion=criterion.name,
        units=units,
        least=least,
        most=most,
        cooks=tuple((cook.number, round(cook.at_c, 4), round(cook.mean, 4)) for cook in counted),
        target_c=round(target.at_c, 4),
        low=round(told.low, 2) if told else None,
        median=round(told.median, 2) if told else None,
        high=round(told.high, 2) if told else None,
        words=words.curve_words(counted, moment, target, told, units),
    )


def _rows(cooks: Sequence[Cook], team: Team) -> SafeString:
    links = Links(team)
    return SafeString("".join([_row(cook, team.units, links) for cook in reversed(cooks)]))


def _row(cook: Cook, units: str, links: Links) -> str:
    """A cook's table row; written here, since two hundred of them cost a template too much."""
    box, name = cook.box, escape(cook.box.contest)
    several = len(cook.boxes) > 1
    url = (
        links.to("contests:show_contest", box.contest_id)
        if several
        else links.to("insight:show_entry", box.entry_id)
    )
    seen = " and ".join(
        dict.fromkeys(Entry.Doneness(one.seen).label for one in cook.boxes if one.seen)
    )
    odd = ' <span class="stamp due">check</span>' * any(one.is_mixed_up for one in cook.boxes)
    boxes = f" · {len(cook.boxes)} boxes" * several
    checked = " checked" * cook.left_out
    out = ' class="out"' * cook.left_out
    day = f"{box.held_on.day} {box.held_on:%b %Y}"
    return (
        f'<tr{out}><th scope="row">{cook.number}. <a href="{url}" dir="auto">{name}</a><br>'
        f'<span class="small muted">{day}{boxes}</span></th>'
        f"<td>{words.exact(cook.at_c, units)}{odd}</td><td>{cook.mean:.2f}</td>"
        f"<td>{seen or '–'}</td>"
        f'<td><input type="checkbox" form="choose" name="out" value="{box.contest_id}" '
        f'aria-label="Leave out {name}"{checked}></td></tr>'
    )
