"""Words that heads of columns, sums and page heads are made of."""

import re
from collections.abc import Collection
from functools import lru_cache

from teamops.calc.reading.records import Meaning

HEADINGS = {
    Meaning.PLACE: "place placing pl plc pos position rank ranking finish standing overall-place",
    Meaning.NAME: "team name team-name teams competitor contestant entrant participant entry who",
    Meaning.COOK: "cook head-cook chief-cook cooks-name cook-name chef captain pitmaster cooked-by",
    Meaning.NUMBER: "number no nr num team-no team-number team-# # bib id ticket box box-no "
    "box-number blind blind-number blind-no entry-no entry-number entry-# entry-id",
    Meaning.TABLE: "table tbl table-no table-number",
    Meaning.TOTAL: "total totals total-score total-points score final-score points pts sum result "
    "grand-total total-pts final-total",
    Meaning.NOTE: "note notes remark remarks comment comments status prize award awards payout",
    Meaning.SKIP: "date city state town hometown home-town region country from",
    Meaning.PART: "appearance app taste flavor flavour texture tenderness doneness overall "
    "overall-impression impression presentation aroma smell color garnish",
}
MEANING_OF = {
    word.replace("-", " "): meaning for meaning, words in HEADINGS.items() for word in words.split()
}
PART = re.compile(r"(?:judge|j|seat|round|rd|r|sheet|s|criterion|c)\s*#?\d{1,2}")
SUM = re.compile(
    r"(?:(?:grand|field|column|sub)[ -]?)?(?:totals?|sums?|averages?|avg|mean|median|count|"
    r"high(?:est)?|low(?:est)?|max(?:imum)?|min(?:imum)?|std|entries|teams)"
    r"(?: score| points| total)?s?"
)
PAGE = re.compile(r"(?:- ?)?page \d+(?: ?(?:of|/) ?\d+)?(?: ?-)?|printed .*", re.I)
LEAST_LETTERS = 3  # “app” is appearance; two letters may be anything


@lru_cache(maxsize=8_192)
def plain_words(text: str) -> str:
    """A heading without case, dots and doubled spaces."""
    return " ".join(re.sub(r"[._:()*’']+", " ", text.casefold()).split())


def meaning_of(heading: str, criteria: frozenset[str] = frozenset()) -> Meaning | None:
    """What a heading says, or None; `criteria` are names of parts, in plain words."""
    words = plain_words(heading)
    if criterion_named(words, criteria):
        return Meaning.PART
    if words in MEANING_OF:
        return MEANING_OF[words]
    return Meaning.PART if PART.fullmatch(words) else None


def criterion_named(heading: str, criteria: Collection[str]) -> str:
    """Which criterion a heading names, whole or by its first letters; all in plain words."""
    words = plain_words(heading)
    if words in criteria:
        return words
    begun = [name for name in criteria if name.startswith(words)]
    return begun[0] if len(begun) == 1 and len(words) >= LEAST_LETTERS else ""


def is_sum(text: str) -> bool:
    """Whether a cell names a sum over the field: “Average”, “Totals:”."""
    return bool(SUM.fullmatch(plain_words(text)))


def headings_in(text: str, criteria: frozenset[str] = frozenset()) -> list[str]:
    """A line of headings parted by single spaces, taken apart; empty if it holds other words."""
    words, found, start = text.split(), [], 0
    while start < len(words):
        for length in (3, 2, 1):
            heading = " ".join(words[start : start + length])
            if start + length <= len(words) and meaning_of(heading, criteria):
                found.append(heading)
                start += length
                break
        else:
            return []
    return found
