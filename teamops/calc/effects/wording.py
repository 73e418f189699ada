"""A change in plain sentences, none stronger than its numbers."""

from collections.abc import Mapping, Sequence

from teamops.calc.effects.confounded import switched_once
from teamops.calc.effects.records import LUCK, ChangeEffect, Effect, Span, Verdict
from teamops.calc.words import count_of, list_words, number_word, opening

SINGLE = 0.05  # what one criterion alone would have to be under
LEANS_BY_LUCK = 0.2  # of what did not change: outside the 80 % interval


def effect_sentence(effect: Effect, whole: ChangeEffect, name: str = "") -> str:
    """What happened to one criterion, or to all together, and how sure that is.

    `name` stands in for the effect's own, as in "The whole box".
    """
    who = opening(name or effect.name)
    if effect.verdict is Verdict.NO_COMPARISON or effect.change is None:
        return _no_comparison(whole)
    moved = f"{who} is {signed(effect.change, whole, effect)}"
    if effect.verdict in (Verdict.CLEAR, Verdict.LEANING) and effect.span_80:
        between = f"8 in 10 sure it is {_between(effect.span_80, whole, effect)}"
        if effect.verdict is Verdict.CLEAR:
            return f"{moved}: clear, more than luck ({between})."
        return (
            f"{moved}, and leaning that way ({between}). Where nothing has changed we would still"
            " lean one time in five."
        )
    half = _size(effect.span_95.half if effect.span_95 else 0, whole, effect)
    return f"{moved}; swings from contest to contest alone give ±{half}, so we cannot tell yet."


def guess_sentence(effect: Effect, whole: ChangeEffect) -> str:
    """The best guess for advice; nothing where there is none."""
    if effect.guess is None or effect.change is None:
        return ""
    moved = signed(effect.guess, whole, effect)
    drawn = "" if moved == signed(effect.change, whole, effect) else ", drawn toward no change"
    contests = count_of(whole.without + whole.with_it, "contest")
    return f"Our best guess from {contests}{drawn}: {moved}."


def luck_sentence(whole: ChangeEffect) -> str:
    """How much a perfect split could mean, where that is too little for a verdict; else nothing."""
    if min(whole.without, whole.with_it) < 2 or whole.luck <= LUCK:
        return ""
    sides = f"{number_word(whole.without)} without and {number_word(whole.with_it)} with it"
    return (
        f"With {sides}, even a perfect split comes about by luck one time in"
        f" {number_word(whole.luck.denominator)}."
    )


def leaning_sentence(whole: ChangeEffect) -> str:
    """What leaning criteria mean among so many; nothing where none leans, or there is only one."""
    leaning = sum(line.verdict is Verdict.LEANING for line in whole.lines)
    many = len(whole.lines)
    if not leaning or many < 2:
        return ""
    lean = "criteria leans" if leaning == 1 else "criteria lean"
    about = max(round(many * LEANS_BY_LUCK), 1)
    one = "about one" if about == 1 else f"about {number_word(about)}"
    return (
        f"{opening(number_word(leaning))} of the {number_word(many)} {lean}. Of"
        f" {number_word(many)} that did not change, {one} would lean by luck: take it as a hint."
    )


def corrected_sentence(whole: ChangeEffect) -> str:
    """Why what its 95 % range calls a change is only leaning: it is one of several looked at."""
    if whole.luck > LUCK or len(whole.lines) < 2:
        return ""
    names = [
        line.name.lower()
        for line in whole.lines
        if line.verdict is Verdict.LEANING and line.p is not None and line.p < SINGLE
    ]
    if not names:
        return ""
    many = number_word(len(whole.lines))
    return (
        f"By itself the 95 % range of {list_words(names)} would be clear. But {many} criteria were"
        " looked at, and one of so many is easily that far out by luck."
    )


def lucky_sentence(compared: int) -> str:
    """How many of several changes would stand out by luck; nothing for a single one.

    Of changes that do nothing one in five leans or more as a whole. Clear is the whole in one of
    twenty at most, and some criterion in another one of twenty, by Holm's correction. That one of
    several stands out is reckoned as if each had luck of its own.
    """
    if compared < 2:
        return ""
    some = min(round(10 * (1 - (1 - LEANS_BY_LUCK) ** compared)), 9)
    return (
        f"{opening(number_word(compared))} changes are compared here. If none of them did"
        f" anything, one at least would still stand out about {number_word(some)} times in ten, by"
        " luck alone; each has up to one chance in ten to be called clear."
    )


def switched_sentence(pattern: Sequence[bool]) -> str:
    """That time goes along with a change that came or went once; nothing where it did not."""
    if not switched_once(pattern):
        return ""
    way = "came once and stayed" if pattern[-1] else "went once and for all"
    return (
        f"Over these contests it {way}, so season, practice and the judges you met are mixed into"
        " the difference. Turning it on and off from contest to contest would tell more."
    )


def verdict_words(whole: ChangeEffect) -> str:
    """
    The verdict in a word or two, the clearest thing first.

    A single criterion is named only where it is clear: of several, one easily leans by luck.
    """
    overall = whole.overall
    if overall.verdict is Verdict.NO_COMPARISON or overall.change is None:
        return "no comparison yet"
    if overall.verdict is Verdict.CLEAR:
        return f"clear: {signed(overall.change, whole, overall)}"
    clear = [line for line in whole.lines if line.verdict is Verdict.CLEAR]
    if clear:
        named = [f"{one.name.lower()} {signed(one.change or 0, whole, one)}" for one in clear]
        return f"clear: {list_words(named)}"
    if overall.verdict is Verdict.LEANING:
        return f"leaning {'up' if overall.change > 0 else 'down'}"
    return "can’t tell yet"


def first_needed_sentence(without: int, with_it: int) -> str:
    """What is wanted before anything is compared, or called clear; nothing where it is there."""
    for least, what in ((2, "anything can be compared"), (3, "anything can be called clear")):
        short = [
            f"{number_word(least - count)} more {how}"
            for count, how in ((with_it, "with it"), (without, "without it"))
            if count < least
        ]
        if short:
            return f"Before {what} it takes {list_words(short)}."
    return ""


def needed_sentence(more: tuple[int, int] | None, gain: float, unit: str = "marks") -> str:
    """
    How far it still is to a clear answer, were the change really worth `gain` of this unit.

    A part of the scale is told in percent: `gain` 0.05 with the unit "%".
    """
    size = f"{100 * abs(gain):.0f} % of the scale" if unit == "%" else f"{abs(gain):.1f} {unit}"
    worth = f"If it is really worth {size}"
    if more is None:
        return f"{worth}, no number of contests that a team cooks would prove it."
    if more == (0, 0):
        return f"{worth}, there are contests enough: 8 times in 10 they would show it."
    off, on = more
    sides = [
        f"{number_word(count)} {how}" for count, how in ((on, "with it"), (off, "without")) if count
    ]
    contests = "contest" if off + on == 1 else "contests"
    about = f"about {off + on} more {contests} would show it 8 times in 10"
    return f"{worth}, {about}: {list_words(sides)}."


def confounded_sentence(name: str, others: Sequence[str]) -> str:
    """Why a change gets no credit: the names of those that always went along with it."""
    names = opening(list_words([name, *others]))
    none = "neither" if len(others) == 1 else "none of them"
    return (
        f"{names} changed at the same contests, so the scores cannot tell which did what:"
        f" credited to {none}."
    )


def companions_sentence(name: str, others: Sequence[str]) -> str:
    """Which other changes may have a part in the credit."""
    them = "it" if len(others) == 1 else "them"
    return (
        f"{opening(list_words(others))} changed at mostly the same contests as {name}: a part of"
        f" the difference may be due to {them}."
    )


def crowded_sentences(whole: ChangeEffect, parts: Mapping[str, str] | None = None) -> list[str]:
    """For each criterion whose scale has no room left; `parts` may give other names by key."""
    names = {line.key: line.name for line in whole.lines} | dict(parts or {})
    return [
        f"More than 4 in 10 marks for {names[key].lower()} are at the top: the scale has hardly any"
        " room left to show an improvement."
        for key in whole.crowded
    ]


def signed(value: float, whole: ChangeEffect, effect: Effect) -> str:
    """A change as one says it: up 0.8, down 0.3, unchanged."""
    size = _size(abs(value), whole, effect)
    if not float(size.removesuffix(" %")):
        return "unchanged"
    return f"{'up' if value > 0 else 'down'} {size}"


def _no_comparison(whole: ChangeEffect) -> str:
    for count, how in ((whole.with_it, "with it"), (whole.without, "without it")):
        if not count:
            return f"No comparison yet: no contest {how} has its marks in."
    return "No comparison yet: one contest on a side cannot be told from luck."


def _size(value: float, whole: ChangeEffect, effect: Effect) -> str:
    """Marks to a tenth; where the scales differ, the whole is told in hundredths of the scale."""
    if effect is whole.overall and not whole.alike:
        return f"{100 * value:.0f} %"
    return f"{value:.1f}"


def _between(span: Span, whole: ChangeEffect, effect: Effect) -> str:
    """An interval that is all on one side of nothing, from its smaller change to its larger."""
    near, far = sorted((abs(span.low), abs(span.high)))
    way = "up" if span.high > 0 else "down"
    least = _size(near, whole, effect)
    if not float(least.removesuffix(" %")):
        return f"{way}, by {_size(far, whole, effect)} at most"
    return f"{way} {least} to {_size(far, whole, effect)}"
