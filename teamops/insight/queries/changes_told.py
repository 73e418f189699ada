"""A change in words: what its scores tell, no more than they can."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from teamops.calc import scoring
from teamops.calc.effects import (
    ChangeEffect,
    Effect,
    Verdict,
    change_of_numbers,
    companions,
    companions_sentence,
    confounded,
    confounded_sentence,
    corrected_sentence,
    crowded_sentences,
    effect_sentence,
    first_needed_sentence,
    guess_sentence,
    guessed_gain,
    leaning_sentence,
    luck_sentence,
    needed_sentence,
    signed,
    still_needed,
    switched_sentence,
    verdict_words,
)
from teamops.calc.words import count_of, list_words, opening
from teamops.insight.queries.changes_field import Beside
from teamops.judging.models import Change
from teamops.judging.queries.changes import Pattern

WHOLE = "the whole box"
PART = 1 / 18  # of the scale: half a mark on 1 to 10, which one may hope a change to be worth
LOOKS = {Verdict.CLEAR: ("clear", "ok"), Verdict.LEANING: ("leaning", "due")}
NO_COMPARISON = "no comparison yet"
NEITHER = "cannot be told apart"
SHARED = "but something else changed too"


@dataclass(frozen=True, slots=True)
class EffectRow:
    """One criterion, or the whole box: averages and difference ready to print.

    `likely` and `wide` are the 80 and the 95 % range, empty where there is none; `verdict` is empty
    where none is given.
    """

    name: str
    without: str
    with_it: str
    change: str
    likely: str
    wide: str
    verdict: str
    look: str
    whole: bool = False


@dataclass(frozen=True, slots=True)
class FieldPart:
    """Our total less the middle of the field, without the change and with it."""

    sentences: tuple[str, ...]
    rows: tuple[EffectRow, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Company:
    """Other changes at the contests compared, by what they say.

    `same` went exactly along with this one, or came as it went; `mostly` nearly so.
    """

    same: tuple[str, ...] = ()
    mostly: tuple[str, ...] = ()


def company_of(change: Change, patterns: Sequence[Pattern]) -> Company:
    """With which other changes this one cannot be told from, or hardly."""
    on = {str(one.change.pk): one.on for one in patterns}
    names = {str(one.change.pk): quoted(one.change) for one in patterns}
    key = str(change.pk)
    return Company(
        tuple(names[other] for other in confounded(on).get(key, ())),
        tuple(names[other] for other in companions(on).get(key, ())),
    )


def quoted(change: Change) -> str:
    return f"“{change.what}”"


def short_words(effect: ChangeEffect | None, company: Company) -> tuple[str, str]:
    """The verdict in a word or two, and how its stamp looks."""
    if company.same:
        return NEITHER, ""
    if effect is None:
        return NO_COMPARISON, ""
    words = verdict_words(effect)
    look = next((look for word, look in LOOKS.values() if words.startswith(word)), "")
    if look and company.mostly:
        return f"{words}, {SHARED}", "due"
    return words, look


def lead_sentences(change: Change, effect: ChangeEffect, company: Company) -> list[str]:
    """What stands on top: the verdict on the whole box, then on single criteria."""
    if company.same:
        return [confounded_sentence(quoted(change), company.same)]
    said = [effect_sentence(effect.overall, effect, WHOLE)]
    if effect.overall.verdict is Verdict.NO_COMPARISON:
        return [*said, first_needed_sentence(effect.without, effect.with_it)]
    by = {verdict: [x for x in effect.lines if x.verdict is verdict] for verdict in Verdict}
    if len(effect.lines) > 1:
        said += [effect_sentence(line, effect) for line in by[Verdict.CLEAR]]
        leaning = [f"{x.name.lower()} {signed(x.change or 0, effect, x)}" for x in by[LEANING]]
        if leaning:
            hint = leaning_sentence(effect)
            said.append(f"Leaning by criterion: {list_words(leaning)}. {hint}")
    return [*said, corrected_sentence(effect), luck_sentence(effect)]


LEANING = Verdict.LEANING


def caution_sentences(
    change: Change, effect: ChangeEffect, company: Company, pattern: Sequence[bool]
) -> list[str]:
    """What else may have made the difference, or may have hidden it."""
    said = []
    if effect.overall.change is not None and not company.same:
        if company.mostly:
            said.append(companions_sentence(quoted(change), company.mostly))
        said.append(switched_sentence(pattern))
    return [*said, *crowded_sentences(effect)]


def effect_rows(effect: ChangeEffect, company: Company) -> tuple[EffectRow, ...]:
    """The whole box, then each criterion; no verdicts where two changes cannot be told apart."""
    percent = not effect.alike
    rows = [_row(effect.overall, "Whole box", percent=percent)] if len(effect.lines) > 1 else []
    rows = [replace(row, whole=True) for row in rows]
    rows += [_row(line, line.name) for line in effect.lines]
    if company.same:
        rows = [replace(row, verdict="", look="") for row in rows]
    return tuple(rows)


def _row(effect: Effect, name: str, *, percent: bool = False, places: int = 2) -> EffectRow:
    def told(value: float | None, *, sign: bool = False) -> str:
        if value is None:
            return "–"
        how = "+" if sign else ""
        text = f"{100 * value:{how}.0f} %" if percent else f"{value:{how}.{places}f}"
        return text.replace("-", "−")

    spans = [
        f"{told(span.low, sign=True)} to {told(span.high, sign=True)}" if span else ""
        for span in (effect.span_80, effect.span_95)
    ]
    verdict, look = LOOKS.get(effect.verdict, ("can’t tell", ""))
    if effect.verdict is Verdict.NO_COMPARISON:
        verdict = ""
    return EffectRow(
        name=name,
        without=told(effect.without),
        with_it=told(effect.with_it),
        change=told(effect.change, sign=True) if effect.change is not None else "",
        likely=spans[0],
        wide=spans[1],
        verdict=verdict,
        look=look,
    )


def needed_sentences(effect: ChangeEffect, criteria: Sequence[scoring.Criterion]) -> list[str]:
    """How far it is to a clear answer, for what one may hope and for twice that; for the whole."""
    overall, sides = effect.overall, (effect.without, effect.with_it)
    if not overall.swing or overall.verdict is Verdict.CLEAR:
        return []
    first = first_needed_sentence(*sides)
    width = float((criteria[0].most or 0) - (criteria[0].least or 0)) if effect.alike else 1.0
    hoped = float(f"{width * PART:.1g}")
    unit = "marks" if effect.alike else "%"
    said = [
        needed_sentence(still_needed(gain, overall.swing, *sides), gain, unit)
        for gain in (hoped, 2 * hoped)
    ]
    return [first, *said]


def guess_sentences(
    effect: ChangeEffect,
    criteria: Sequence[scoring.Criterion],
    worth: Sequence[float],
    company: Company = Company(),
) -> list[str]:
    """The best guess for advice, in marks, by criterion and in points of the total.

    `worth` is what a mark of each criterion is worth at a full table; empty where that is unknown.
    """
    if effect.overall.guess is None:
        return []
    said = [guess_sentence(effect.overall, effect)]
    if len(effect.lines) > 1:
        each = [f"{x.name.lower()} {signed(x.guess or 0, effect, x)}" for x in effect.lines]
        said.append(f"By criterion: {list_words(each)}.")
    if worth:
        weighed = [
            replace(row, weight=Decimal(str(points)))
            for row, points in zip(criteria, worth, strict=True)
        ]
        gain = guessed_gain(effect, weighed, 1) or 0
        way = "more" if gain >= 0 else "less"
        said.append(f"At a full table that is about {abs(gain):.1f} points {way}.")
    if company.mostly:
        them = list_words(company.mostly)
        said.append(f"It is the guess for all that changed together, {them} included.")
    return said


def field_part(beside: Sequence[Beside], on: Sequence[bool]) -> FieldPart | None:
    """The change in what we stood above the field's middle; None without a contest on a side."""
    if not any(on) or all(on):
        return None
    found = change_of_numbers([one.more for one in beside], on)
    sides = (len(on) - sum(on), sum(on))
    whole = ChangeEffect(found, (), *sides, left_out=0, alike=True, crowded=())
    return FieldPart(
        sentences=tuple(filter(None, (effect_sentence(found, whole, WHAT), luck_sentence(whole)))),
        rows=(_row(found, opening(WHAT), places=1),),
        notes=tuple(_field_notes(beside, sides)),
    )


WHAT = "our total less the middle of the field"


def _field_notes(beside: Sequence[Beside], sides: tuple[int, int]) -> Iterator[str]:
    contests = count_of(sides[0], "contest"), count_of(sides[1], "contest")
    yield f"In points, from {contests[0]} without it and {contests[1]} with it."
    tables = sum(one.of_table for one in beside)
    if tables:
        at = "everywhere" if tables == len(beside) else f"at {count_of(tables, 'contest')}"
        yield f"Compared with the other boxes of our own table {at}: they had the same judges."
