"""The next contest: our form, a field like one that was posted, and the chances of each place."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

from django.utils.safestring import SafeString

from teamops.calc.placing import (
    Field,
    FieldShape,
    Form,
    field_shape,
    form,
    guessed_field,
    outlook,
    outlook_sentence,
    percent_words,
)
from teamops.calc.placing.coming import Outlook
from teamops.calc.words import count_of, number_word, opening, ordinal
from teamops.contests.models import Contest, Entry
from teamops.insight.queries.changes import compared
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.days import chosen
from teamops.insight.queries.ledger import full_table
from teamops.insight.queries.placing.boxes import posted_field
from teamops.insight.queries.placing.drawn import draw_chances
from teamops.insight.queries.placing.worth import better_way
from teamops.insight.words import untold_words
from teamops.judging.models import Change, Posting, Result
from teamops.judging.queries.changes import pattern_of, uses_of
from teamops.rules.models import Rulebook
from teamops.teams.models import Team

FEW = 5  # contests below which a form is said to be narrow ground
OTHER_DAYS = (
    "That field and our totals had other judges on other days: a kind or a hard panel moves "
    "everybody, and is not in these chances."
)
FAR_OFF = 0.5  # of a field's spread, from which our own total there is held against our average
WIDE = 1.5  # times a field's own spread, from which our swings decide
SILENT_PART = 10  # a list may lack one entry in so many, and still be the field


@dataclass(frozen=True, slots=True)
class Chosen:
    """What an outlook is asked for: a coming contest or none, a posted list, a change or none."""

    coming: Contest | None
    posting: Posting
    change: Change | None
    prizes: int


@dataclass(frozen=True, slots=True)
class Hope:
    """
    What may be hoped for at the next contest, in words ready to print.

    Where it cannot be told, `why` says so, and `rows` and `chances` are empty.
    """

    title: str
    why: str
    sentence: str = ""
    rows: tuple[tuple[str, str], ...] = ()
    chances: SafeString | None = None
    notes: tuple[str, ...] = ()


@dataclass(slots=True)
class _Ground:
    """What an outlook stands on, with sentences about it."""

    notes: list[str] = field(default_factory=list)
    ours: Form | None = None
    theirs: FieldShape | None = None
    there: float | None = None  # our own total in that field [points]
    why: str = ""


@dataclass(frozen=True, slots=True)
class DayTotal:
    """One contest's total of ours: two boxes are averaged. [points]"""

    contest_id: str
    held_on: date
    total: float


def hope(team: Team, selection: Selection, rulebook: Rulebook, asked: Chosen) -> Hope:
    """The outlook on a contest like the posted one; four queries, six more with a change."""
    title = _title(asked)
    ground = _Ground()
    _find_field(ground, selection, asked)
    if not ground.why:
        _find_form(ground, team, selection, rulebook, asked)
    if ground.why or ground.ours is None or ground.theirs is None:
        return Hope(title, ground.why)
    if asked.coming is not None:
        _check_rulebook(ground, asked.coming, selection)
    sign = better_way(rulebook)  # where the fewest points win, less is more
    ours = Form(sign * ground.ours.mean, ground.ours.sd, ground.ours.contests)
    theirs = FieldShape(sign * ground.theirs.mean, ground.theirs.sd, ground.theirs.entries)
    out = outlook(ours, theirs)
    prizes = min(asked.prizes, theirs.entries)
    if ours.sd > WIDE * theirs.sd:
        ground.notes.append(
            "Our own totals swing much more than that field is apart: the first and the last "
            "places are likelier than those between."
        )
    return Hope(
        title=title,
        why="",
        sentence=outlook_sentence(out, prizes),
        rows=tuple(_rows(out, ground.ours, ground.theirs, prizes)),
        chances=draw_chances(out.chances, prizes),
        notes=(*ground.notes, *_how_we_did_there(ground, sign), OTHER_DAYS),
    )


def _how_we_did_there(ground: _Ground, sign: int) -> Iterable[str]:
    """That we were well off our average in that field, which its judges may have made."""
    if ground.ours is None or ground.theirs is None or ground.there is None:
        return
    more = ground.there - ground.ours.mean
    if abs(more) < ground.theirs.sd * FAR_OFF:
        return
    hard, hopeful = ("kind", "gloomy") if sign * more > 0 else ("hard", "hopeful")
    yield (
        f"In that field our own total was {ground.there:.1f}, {abs(more):.1f} "
        f"{'above' if more > 0 else 'below'} our average: if its judges were {hard}, these chances "
        f"are too {hopeful}."
    )


def _title(asked: Chosen) -> str:
    contest = asked.posting.contest
    like = f"a field like {contest.name}, {contest.held_on.day} {contest.held_on:%b %Y}"
    return f"{asked.coming.name}, against {like}" if asked.coming else f"Against {like}"


def _rows(out: Outlook, ours: Form, theirs: FieldShape, prizes: int) -> Iterable[tuple[str, str]]:
    contests = "" if ours.contests is None else f", {count_of(ours.contests, 'contest')}"
    yield "Our total", f"{ours.mean:.1f} on average, swings by {ours.sd:.1f}{contests}"
    yield "The field", f"{theirs.mean:.1f} on average, apart by {theirs.sd:.1f}"
    yield "Average place", f"{out.expected:.1f} of {theirs.entries}"
    yield "8 times in 10", f"{ordinal(out.best)} to {ordinal(out.worst)}"
    yield "Chance of winning", percent_words(out.winning)
    if prizes > 1:
        yield f"Chance of the first {prizes}", percent_words(out.within(prizes))


def _find_field(ground: _Ground, selection: Selection, asked: Chosen) -> None:
    """The field by its totals; by two scores where the list tells no more; or why not at all."""
    found = _field_of(asked.posting, selection)
    if found is None:
        ground.why = "No box of ours was in that field under this rulebook, so it cannot be set by."
        return
    ground.there = None if found.total is None else float(found.total)
    totals = [float(one.total) for one in found.ranked if one.total is not None]
    silent = found.untold
    if silent * SILENT_PART <= found.entries:
        ground.theirs = field_shape(totals)
        if silent:
            have = "entry has" if silent == 1 else "entries have"
            ground.notes.append(f"{opening(number_word(silent))} {have} no total there.")
        if ground.theirs is None:
            ground.why = "That list has fewer than three totals besides ours: too few for a field."
    else:
        ground.theirs = _from_two(found)
        if ground.theirs is None:
            ground.why = (
                f"That list tells {len(totals)} of {found.entries} totals, most likely the best: "
                "no field can be made of them without our place and the winner’s total."
            )
        else:
            ground.notes.append(
                "The field is estimated from two scores, ours and the winner’s: they say nothing "
                "about its middle."
            )
    if ground.theirs is not None and not ground.theirs.sd > 0:
        ground.why = "All totals of that list are the same, so it has no spread to place us in."


def _field_of(posting: Posting, selection: Selection) -> Field | None:
    """The others of a posted list; three queries."""
    entries = Entry.objects.filter(
        contest=posting.contest_id,
        category=selection.category_id,
        rulebook=selection.rulebook_id,
        result__isnull=False,
    )
    lines = posting.lines.filter(entry__isnull=False).values_list("entry", flat=True)
    rows = list(entries.select_related("result", "rulebook").order_by("pk"))
    ours = next((row for row in rows if row.pk in set(lines)), rows[0] if rows else None)
    return None if ours is None else posted_field(ours, posting)


def _from_two(found: Field) -> FieldShape | None:
    """A field through our place and the winner's."""
    winner = next((one.total for one in found.ranked if one.placing == 1), None)
    if winner is None or found.place is None or found.total is None:
        return None
    low, high = sorted((float(found.total), float(winner)))
    if not 2 <= found.place <= found.entries or low == high:
        return None
    mean, sd = guessed_field(found.place, found.entries, low, high)
    if winner < found.total:  # the fewest points win
        mean = low + high - mean
    return FieldShape(mean, sd, found.entries)


def _find_form(
    ground: _Ground, team: Team, selection: Selection, rulebook: Rulebook, asked: Chosen
) -> None:
    days = _day_totals(ground, team, selection)
    totals = [day.total for day in days]
    if asked.change is not None:
        totals = _with_change(ground, team, selection, rulebook, asked.change, days)
    ground.ours = form(totals)
    if ground.ours is None:
        have = ("none", "one", "two")[len(totals)]
        ground.why = (
            "A form takes three contests with a total under this rulebook; there "
            f"{'are' if have == 'two' else 'is'} {have}."
        )
    elif len(totals) < FEW:
        ground.notes.append(
            f"Our form stands on {count_of(len(totals), 'contest')} only; the range is that wide "
            "because of it."
        )


def _day_totals(ground: _Ground, team: Team, selection: Selection) -> list[DayTotal]:
    """
    Our totals under the rulebook, a contest a number, oldest first; one query.

    The posted total, else ours. Left out are boxes that counted as zero for lateness, and tables
    that were not full: they could not have earned as much.
    """
    rows: list[Any] = list(
        Result.objects.for_team(team)
        .filter(chosen(selection, "entry__"), entry__rulebook=selection.rulebook_id)
        .filter(entry__disqualified=False)
        .exclude(entry__late=Entry.Late.ZERO)
        .order_by("entry__contest__held_on", "entry__contest__name", "pk")
        .values_list(
            "entry__contest", "entry__contest__held_on", "entry__official_total", "total", "most"
        )
    )
    full = max((row[4] for row in rows if row[4] is not None), default=None)
    found: dict[str, list[Decimal]] = {}
    days: dict[str, date] = {}
    short = 0
    for contest, held_on, posted, ours, most in rows:
        total = ours if posted is None else posted
        if total is None or str(contest) in selection.left_out:
            continue
        if most is not None and full is not None and most < full:
            short += 1
            continue
        found.setdefault(str(contest), []).append(total)
        days[str(contest)] = held_on
    if short:
        many = "One total is" if short == 1 else f"{short} totals are"
        ground.notes.append(f"{many} of a table that was not full, and left out of our form.")
    return [
        DayTotal(key, days[key], float(sum(some, Decimal(0)) / len(some)))
        for key, some in found.items()
    ]


def _with_change(
    ground: _Ground,
    team: Team,
    selection: Selection,
    rulebook: Rulebook,
    change: Change,
    days: Sequence[DayTotal],
) -> list[float]:
    """The totals as if the change had been on at every contest, by its best guess."""
    totals = [day.total for day in days]
    gain, why = _guessed(team, selection, rulebook, change)
    if gain is None:
        ground.notes.append(f"“{change.what}” is not in it: {why}")
        return totals
    uses = {str(key): on for key, on in uses_of(change).items()}
    on = pattern_of(change, uses, [(day.contest_id, day.held_on) for day in days]).on
    without = on.count(False)
    ground.notes.append(
        f"“{change.what}” by its best guess is worth {gain:+.1f} points a contest; it is added to "
        f"the {count_of(without, 'contest')} without it. A best guess is no proof.".replace(
            "-", "−"
        )
    )
    return [total if was else total + gain for total, was in zip(totals, on, strict=True)]


def _guessed(
    team: Team, selection: Selection, rulebook: Rulebook, change: Change
) -> tuple[float | None, str]:
    """What a change is likely to add to a total [points], or why that cannot be said."""
    found = compared(team, change, selection, rulebook)
    if found.company.same:
        return None, f"it came and went with {' and '.join(found.company.same)}."
    guesses = [line.guess for line in found.effect.lines] if found.effect else []
    known = [guess for guess in guesses if guess is not None]
    every = list(rulebook.criteria.all())
    if untold_words(rulebook) or len(every) != len(found.criteria):
        return None, "this rulebook does not let marks be told as points."
    if not known or len(known) < len(guesses):
        return None, "there are too few contests with it and without it."
    worth = [
        points / float(row.most or 1)
        for points, row in zip(full_table(rulebook), every, strict=True)
    ]
    return sum(w * guess for w, guess in zip(worth, known, strict=True)), ""


def _check_rulebook(ground: _Ground, coming: Contest, selection: Selection) -> None:
    """Say so where the coming contest is judged by other rules; one query."""
    books = {
        row.rulebook_id: str(row.rulebook)
        for row in Entry.objects.filter(contest=coming, category=selection.category_id)
        .select_related("rulebook")
        .order_by("pk")
    }
    if books and selection.rulebook_id not in books:
        ground.notes.append(
            f"{coming.name} is judged by {next(iter(books.values()))}: totals there are others."
        )
