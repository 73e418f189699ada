"""What to look at before the lid closes, made from the rulebook and the meeting."""

from dataclasses import dataclass

from teamops.contests.models import Entry, LidCheck
from teamops.contests.queries.meeting import at_ours
from teamops.rules.models import Rulebook

MOST = 5  # taps
LEFT_IN = "Nothing left in: no string, pick, foil or probe"


@dataclass(frozen=True, slots=True)
class Question:
    """One thing to look at, said as it ought to be: the answer is Right, or Not right."""

    key: str
    ask: str


def box_questions(rulebook: Rulebook, entry: Entry) -> list[Question]:
    """
    What to look at in this box: only what the book, the meeting or the ticket says, five at most.

    Pure: asks no database where the entry's contest is at hand. String, pick, foil and probe, and
    marks on the box, are looked for under every book (common practice, no source). Where there is
    more than five to ask, what lies side by side in the box is asked in one.
    """
    groups = [
        _known(("piece", _piece(rulebook)), ("count", _count(rulebook))),
        [("left", LEFT_IN)],
        _known(
            ("garnish", _allowed("garnish", rulebook.garnish, rulebook.garnish_words)),
            ("sauce", _allowed("sauce", rulebook.sauce, rulebook.sauce_words)),
        ),
        _known(("number", _number(entry)), ("marks", _marks(entry))),
        _known(("said", _said(entry))),
    ]
    for place in (2, 3, 0):
        if sum(map(len, groups)) > MOST and len(groups[place]) > 1:
            keys, words = zip(*groups[place], strict=True)
            rest = (one[0].lower() + one[1:] for one in words[1:])
            groups[place] = [("-".join(keys), "; ".join((words[0], *rest)))]
    return [Question(key, ask) for group in groups for key, ask in group]


def _known(*pairs: tuple[str, str]) -> list[tuple[str, str]]:
    return [(key, words) for key, words in pairs if words]


def _piece(rulebook: Rulebook) -> str:
    return f"The right piece: {rulebook.piece}" if rulebook.piece else ""


def _count(rulebook: Rulebook) -> str:
    least, most = rulebook.pieces_least, rulebook.pieces_most
    if least and most:
        many = f"{least}" if least == most else f"{least} to {most}"
        return f"Count them: {many} piece{'s' if most > 1 else ''}"
    if least:
        return f"Count them: at least {least} piece{'s' if least > 1 else ''}"
    return f"Count them: at most {most} piece{'s' if most > 1 else ''}" if most else ""


def _allowed(what: str, ruled: str, words: str) -> str:
    """Garnish or sauce as the book rules it."""
    more = f": {words}" if words else ""
    return {
        Rulebook.Allowed.NO: f"No {what}{more}",
        Rulebook.Allowed.MAY: f"{what.capitalize()}, if any, as allowed{more}",
        Rulebook.Allowed.MUST: f"{what.capitalize()} is in, as it must{more}",
    }.get(Rulebook.Allowed(ruled), f"{what.capitalize()}{more}" if words else "")


def _number(entry: Entry) -> str:
    return f"The number on the box is {entry.blind_number}" if entry.blind_number else ""


def _marks(entry: Entry) -> str:
    other = "other " if entry.blind_number else ""
    return f"No {other}mark on the box that tells whose it is"


def _said(entry: Entry) -> str:
    said = entry.contest.box_word
    return f"As said at the meeting: {said}" if said else ""


@dataclass(frozen=True, slots=True)
class LidRow:
    """One look at the box, in words ready to print."""

    words: str
    stamp: str
    who: str
    wrong: tuple[str, ...]
    note: str

    @property
    def is_wrong(self) -> bool:
        return self.stamp == "hot"


def lid_rows(entry: Entry) -> list[LidRow]:
    """Every look at this box, newest first; one query."""
    checks = entry.lid_checks.select_related("checked_by").order_by("-checked_at", "-pk")
    return [lid_row(check, entry) for check in checks]


def lid_row(check: LidCheck, entry: Entry) -> LidRow:
    wrong = tuple(one["asked"] for one in check.answers if not one["right"])
    if wrong:
        words, stamp = f"{len(wrong)} not right", "hot"
    elif check.all_right:
        words, stamp = "all right", "ok"
    else:
        words, stamp = "not everything was looked at", "due"
    who = f"{check.checked_by}, {at_ours(check.checked_at, entry.contest)}"
    return LidRow(words, stamp, who, wrong, check.note)
