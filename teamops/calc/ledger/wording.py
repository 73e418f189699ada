"""One plain sentence about the costliest criterion, no stronger than the numbers are."""

from teamops.calc.ledger.usual import UsualLine, UsualLosses, Verdict
from teamops.calc.words import list_words, number_word, opening

FAIRLY_LIKELY = 0.5


def usual_sentence(usual: UsualLosses) -> str:
    """Which criterion usually costs most, or why that cannot be said."""
    contests = f"{number_word(usual.contests)} contest{'' if usual.contests == 1 else 's'}"
    if not usual.contests:
        return "No contest has its marks in yet."
    if usual.verdict is Verdict.TOO_FEW:
        few = "is" if usual.contests == 1 else "are"
        return f"{opening(contests)} {few} too few to tell which criterion usually costs most."
    if usual.verdict is Verdict.SINGLE or usual.leader is None:
        return f"Only {usual.lines[0].name.lower()} is marked, so all points are lost there."
    leader = usual.line(usual.leader)
    if usual.verdict is Verdict.NAMED:
        return f"{leader.name} usually costs most: {_points(leader)} over {contests}."
    few = f"but {contests} {'are few' if usual.contests < 8 else 'do not settle it'}"
    if (leader.chance or 0) >= FAIRLY_LIKELY:
        return f"Probably {leader.name.lower()} ({_percent(leader)} likely), {few}."
    first = sorted(usual.lines, key=lambda line: -(line.chance or 0))[:2]
    names = list_words([f"{line.name.lower()} ({_percent(line)} likely)" for line in first])
    return f"No criterion stands out: {names} come first, {few}."


def _points(line: UsualLine) -> str:
    low, likely, high = line.low or 0, line.likely or 0, line.high or 0
    between = f"8 in 10 sure it is {low:.1f} to {high:.1f}"
    return f"about {likely:.1f} points a box ({between}), {_percent(line)} likely the costliest"


def _percent(line: UsualLine) -> str:
    """A chance in whole percent, never 100 or 0: nothing here is certain."""
    return f"{min(max(round(100 * (line.chance or 0)), 1), 99)} %"
