"""What the numbers say, in plain sentences that claim no more than they can."""

from collections.abc import Sequence
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from teamops.calc import scoring
from teamops.calc.ledger import UsualLine, UsualLosses, Verdict
from teamops.calc.scoring import exact_sum
from teamops.calc.words import brief, count_of, list_words, number_word, opening
from teamops.contests.models import Entry
from teamops.contests.queries import ordinal
from teamops.judging.models import Result
from teamops.rules.models import Criterion, Rulebook


def usual_words(usual: UsualLosses | None, lost: float, untold: str = "") -> str:
    """Which criterion costs most, or why that cannot be said; `lost` is all of a contest's.

    `untold` says why the rulebook never lets it be told, if so.
    """
    if untold:
        return untold
    if usual is None or not usual.contests:
        return "No contest here has every judge’s marks, so nothing can be told by criterion."
    contests = count_of(usual.contests, "contest")
    if usual.verdict is Verdict.TOO_FEW:
        are = "is" if usual.contests == 1 else "are"
        return (
            f"{opening(contests)} {are} too few to say which criterion usually costs most. "
            f"What was lost there is exact; a likely range takes three contests."
        )
    if usual.verdict is Verdict.SINGLE or usual.leader is None:
        return f"{usual.lines[0].name} is all that is marked, so every point was lost there."
    leader = usual.line(usual.leader)
    if usual.verdict is Verdict.NAMED and leader.average >= max(x.average for x in usual.lines):
        return (
            f"{leader.name} cost most: {leader.average:.1f} of the {lost:.1f} points lost a "
            f"contest. {percent(leader)} % sure that it is the costliest of the "
            f"{number_word(len(usual.lines))}."
        )
    first, second = sorted(usual.lines, key=lambda line: -(line.chance or 0))[:2]
    return (
        f"No criterion stands out for sure after {contests}: {first.name.lower()} is the likeliest "
        f"to cost most ({percent(first)} %), then {second.name.lower()} ({percent(second)} %)."
    )


def percent(line: UsualLine) -> int:
    """A chance in whole percent, never 0 or 100: nothing here is certain."""
    return min(max(round(100 * (line.chance or 0)), 1), 99)


def placing_words(placing: int | None, field_size: int | None, *, tied: bool) -> str:
    """The placing and the field: 3rd of 42, tied."""
    if placing is None:
        return ""
    words = ordinal(placing)
    if field_size:
        words += f" of {field_size}"
    return f"{words}, tied" if tied else words


BASES = {
    Result.Basis.JUDGE_TOTALS.value: "judges’ totals only",
    Result.Basis.TOTAL.value: "posted total only",
    Result.Basis.PLACING.value: "placing only",
}


def basis_words(basis: str | None) -> str:
    """What papers gave less than every judge's marks, or nothing."""
    return BASES.get(basis or "", "")


def differs(ours: Decimal | None, posted: Decimal | None) -> bool:
    """Whether the posted total is another than ours, and not just ours printed with fewer places.

    A posted whole number is never taken for a rounded one, as on the page of the score sheets.
    """
    if ours is None or posted is None or ours == posted:
        return False
    exponent = posted.normalize().as_tuple().exponent
    places = -exponent if isinstance(exponent, int) else 0
    return places <= 0 or round(ours, places) != posted


def day_words(day: date, today: date) -> str:
    """A day as one says it near to it: today, tomorrow, Fri 4 June; the year if it is another."""
    near = {0: "Today", 1: "Tomorrow", -1: "Yesterday"}.get((day - today).days)
    if near:
        return near
    words = f"{day:%a} {day.day} {day:%b}"
    return words if day.year == today.year else f"{words} {day.year}"


def late_words(day: date, today: date) -> str:
    """How long something is overdue, or nothing."""
    days = (today - day).days
    if days <= 0:
        return ""
    return f"overdue {days} day{'' if days == 1 else 's'}"


def away_words(days: int) -> str:
    """How far away a day is: today, tomorrow, in 11 days."""
    return {0: "today", 1: "tomorrow"}.get(days, f"in {days} days")


def cost_words(lost: Sequence[tuple[str, Decimal | None]]) -> str:
    """What cost most in one box, exactly; nothing where nothing was lost."""
    known = [(name, points) for name, points in lost if points is not None and points > 0]
    if not known:
        return "Nothing was lost." if lost else ""
    every = exact_sum(points for _, points in known)
    worst = max(points for _, points in known)
    first = [name for name, points in known if points == worst]
    if len(known) == 1:
        return f"All {brief(worst)} points were lost in {first[0].lower()}."
    if len(first) == len(known):
        names = list_words([name.lower() for name in first])
        return f"{brief(worst)} points were lost in each of {names}."
    each = " each" if len(first) > 1 else ""
    return (
        f"{opening(list_words([first[0], *(name.lower() for name in first[1:])]))} cost most here: "
        f"{brief(worst)}{each} of the {brief(every)} points lost."
    )


def share_words(lost: Sequence[Decimal]) -> list[str]:
    """Each line's part of all points lost, in whole percent, rounded by itself.

    So equal losses have equal parts, and each is as near as a whole percent comes: they need not
    add up to 100. A line that lost nothing or gained has 0 % or none; none has one where nothing
    was lost.
    """
    every = exact_sum(points for points in lost if points > 0)
    return [_share(points, every) for points in lost]


def _share(lost: Decimal, every: Decimal) -> str:
    if every <= 0 or lost < 0:
        return ""
    percents = _whole_percent(lost, every)
    return "under 1 %" if lost and not percents else f"{percents} %"


def _whole_percent(lost: Decimal, every: Decimal) -> int:
    return int((100 * lost / every).quantize(Decimal(1), ROUND_HALF_UP))


def shares_note(lost: Sequence[Decimal]) -> str:
    """That the parts do not add up to 100, where they do not."""
    losses = [points for points in lost if points > 0]
    every = exact_sum(losses)
    together = sum(_whole_percent(points, every) for points in losses)
    if not losses or together == 100:
        return ""
    return f"Each part is rounded by itself; together they make {together} %."


def untold_words(rulebook: Rulebook) -> str:
    """Why no points can be called lost under this rulebook, or nothing; criteria prefetched."""
    if rulebook.aggregate == Rulebook.Aggregate.RANK_SUM:
        return "The marks are placings that are added up, so no points are lost."
    if rulebook.direction == Rulebook.Direction.LOW:
        return "The lowest total wins, so no points are lost."
    untold = "so what each criterion cost cannot be told."
    if rulebook.aggregate not in (Rulebook.Aggregate.SUM, Rulebook.Aggregate.MEAN):
        return f"Not every mark that counts is in the total, {untold}"
    for criterion in rulebook.criteria.all():
        if criterion.most is None:
            name = criterion.name.lower()
            return f"The rulebook does not say the highest mark for {name}, {untold}"
    return ""


def less_words(entry: Entry, result: Result | None) -> list[str]:
    """What the papers do not say, plainly, so that nobody takes a gap for a nought."""
    basis = result.basis if result else Result.Basis.NONE
    flags = {flag["kind"]: flag["words"] for flag in result.flags} if result else {}
    untold = "what each criterion cost cannot be told."
    match basis:
        case Result.Basis.PLACING:
            words = ["The papers give a placing and no points: where they went cannot be told."]
        case Result.Basis.TOTAL:
            words = [f"The papers give one total and no judge’s sheet: {untold}"]
        case Result.Basis.JUDGE_TOTALS:
            words = [f"The papers give each judge’s total and no marks: {untold}"]
        case Result.Basis.CRITERION_TOTALS:
            words = ["The papers give a total for each criterion and no judge’s marks."]
        case Result.Basis.MARKS:
            words = []
        case _:
            return ["No papers yet."]
    if "no_total" in flags:
        words.append(f"No total of ours: {flags['no_total']}")
    elif basis == Result.Basis.MARKS and (never := untold_words(entry.rulebook)):
        words.append(never)
    elif "no_losses" in flags:
        words.append(f"Points lost cannot be told by criterion. {flags['no_losses']}")
    return words


def worked_words(row: scoring.CriterionResult, criterion: Criterion, rulebook: Rulebook) -> str:
    """How a criterion's points lost came about, from the marks that count.

    The rule is spelled out only where it leads to the very number; else it says so.
    """
    kept = row.kept_marks
    if not kept or row.lost is None or criterion.most is None:
        return ""
    added, top = exact_sum(kept), criterion.most * len(kept)
    count = f"{opening(count_of(len(kept), 'mark'))} count{'s' if len(kept) == 1 else ''}"
    marks = list_words([brief(mark) for mark in kept])
    short = top - added
    words = f"{count}: {marks}; together {brief(added)} of {brief(top)}, {brief(short)} short."
    worth = criterion.weight * rulebook.factor
    lost = short * worth
    if rulebook.aggregate == Rulebook.Aggregate.MEAN:
        lost /= len(kept)
    if abs(lost - row.lost) > Decimal("0.000001"):
        return f"{words} By the rulebook’s arithmetic that is {brief(row.lost)} points."
    if rulebook.aggregate == Rulebook.Aggregate.MEAN:
        words += f" Averaged over {count_of(len(kept), 'judge')}: {brief(short / len(kept))}."
    if worth != 1:
        words += f" A mark is worth {brief(worth)} points: {brief(row.lost)} lost."
    return words


def short_name(name: str) -> str:
    """A criterion's name for a narrow column: Taste, Text., App."""
    word = name.split()[0]
    if len(word) <= 6:
        return word
    vowels = "aeiou"
    return f"{word[:3] if word[3] in vowels and word[2] not in vowels else word[:4]}."


def count_words(count: int, noun: str) -> str:
    """A count in digits with its noun: 1 contest, 40 sheets."""
    return f"{count} {noun}{'' if count == 1 else 's'}"
