"""What a column can say, how heads of columns call it, and the choices a form offers."""

import re
from collections.abc import Iterable, Mapping

from teamops.calc.reading import plain_words

SKIP = "skip"
OPEN = ""  # nobody knows yet what the column says
MARK_OF, TOTAL_OF = "mark:", "total:"  # with a criterion's name behind

Choices = tuple[tuple[str, str], ...]

LABELS: Mapping[str, Mapping[str, str]] = {
    "The contest": {
        "contest": "contest",
        "held_on": "day of the contest",
        "place": "where it was",
        "state": "what became of the contest",
        "fee": "entry fee",
    },
    "The box": {
        "category": "category",
        "rulebook": "rulebook",
        "blind_number": "number on the box",
        "team_number": "team number",
        "cook": "cook of record, by name or email",
    },
    "The sheet": {
        "round": "round",
        "panel": "panel",
        "table": "table",
        "seat": "judge",
        "judge_total": "the judge’s total",
        "comment": "the judge’s comment",
    },
    "Marks": {
        "criterion": "criterion, its name in each row",
        "mark": "mark for the row’s criterion",
        "criterion_total": "all judges’ total for the row’s criterion",
    },
    "The result": {
        "posted_total": "posted total",
        "our_total": "our own sum, only compared",
        "placing": "placing",
        "field_size": "entries in the field",
        "prize": "prize",
        "disqualified": "disqualified",
        "pull_c": "pull temperature",
        "last_seen_c": "last seen temperature",
        "peak_c": "peak temperature",
        "doneness_seen": "doneness as seen",
        "notes": "notes about the box",
    },
}
FIELDS: tuple[tuple[str, Choices], ...] = (
    ("", ((OPEN, "choose"), (SKIP, "leave this column out"))),
    *((group, tuple(labels.items())) for group, labels in LABELS.items()),
)
LABEL_OF = {code: label for labels in LABELS.values() for code, label in labels.items()}

CONTEST = ("contest", "held_on", "place", "state", "fee")
BOX = ("category", "rulebook", "blind_number", "team_number", "cook")
SHEET = ("round", "panel", "table", "seat")
TEMPERATURES = ("pull_c", "last_seen_c", "peak_c")
RESULT = tuple(LABELS["The result"])
ONCE = frozenset({*CONTEST, *BOX, *SHEET, *RESULT, "criterion"})

# hyphens hold words of one head together
WORDS = {
    "contest": "contest competition event cook-off cookoff comp contest-name event-name "
    "competition-name name-of-contest wettbewerb",
    "held_on": "date day held held-on contest-date event-date contest-day when turn-in-date datum",
    "place": "location city town where venue site contest-location city-state ort",
    "state": "contest-state status contest-status",
    "fee": "fee entry-fee fees entry-cost cost entry-price",
    "category": "category meat class division dish protein cook cut kategorie entry-category",
    "rulebook": "rulebook rules rule-book sanction sanctioned-by sanctioning rule-set",
    "blind_number": "box box-number box-no box-# blind blind-number blind-no blind-# ticket "
    "ticket-number ticket-no entry-number entry-no entry-# entry-id number-on-the-box",
    "team_number": "team-number team-no team-#",
    "cook": "cook-of-record head-cook cooked-by chef cook-name cook’s-name cooks-name pitmaster "
    "cook-email email e-mail cook-of-record-email",
    "round": "round rd heat stage final-or-semi runde",
    "panel": "panel judging-panel",
    "table": "table tbl table-number table-no table-# tisch",
    "seat": "judge seat judge-seat judge-number judge-no judge-# judge-name judge-id j sheet "
    "sheet-number sheet-no sheet-# score-sheet scorer juror richter",
    "judge_total": "judge-total judges-total judge’s-total sheet-total total-of-sheet",
    "comment": "comment comments judge-comment judge-comments judges-comment remark remarks",
    "criterion": "criterion criteria score-for judged-on item scored",
    "mark": "mark marks rating value",
    "criterion_total": "criterion-total",
    "posted_total": "official-total posted-total official-score final-score final-total "
    "organiser-total organizer-total official result",
    "our_total": "our-total our-sum own-total own-sum my-total calculated calculated-total",
    "placing": "placing rank ranking position pos pl plc finish finished placed overall-place "
    "overall-placing platz place-of",
    "field_size": "field field-size entries teams of out-of number-of-teams number-of-entries "
    "team-count boxes cooks teams-in-field entries-in-the-field",
    "prize": "prize winnings payout won prize-money money award cash",
    "disqualified": "dq disqualified",
    "pull_c": "pull pull-temp pull-temperature pulled pulled-at pull-at",
    "last_seen_c": "last-seen last-seen-temp last-seen-temperature",
    "peak_c": "peak peak-temp peak-temperature final-temp finish-temp finish-temperature "
    "max-temp internal-temp",
    "doneness_seen": "doneness-seen doneness-as-seen seen-doneness cooked-as seen",
    "notes": "notes note notizen our-notes my-notes",
}
CODE_OF = {
    plain_words(word.replace("-", " ")): code
    for code, words in WORDS.items()
    for word in words.split()
} | {plain_words(label): code for code, label in LABEL_OF.items()}
TOTAL_WORDS = ("total", "totals", "score", "total score", "points", "total points", "pts", "sum",
               "grand total", "summe", "total pts", "gesamt")  # fmt: skip
PLACE_WORDS = ("place", "plc", "pl")
NAME_WORDS = ("name", "who")
PASSED_WORDS = ("#", "no", "nr", "row", "line", "id", "a full box", "points taken off", "deposit",
                "prize received", "drive, minutes", "air", "sheets")  # fmt: skip
ALIKE = (
    ("taste", "flavor", "flavour", "geschmack"),
    ("appearance", "looks", "presentation", "app", "aussehen"),
    ("texture", "tenderness", "tender", "zartheit"),
    ("overall impression", "overall", "impression", "overall imp"),
    ("doneness", "degree of doneness", "done", "garstufe"),
)
AVERAGE = re.compile(r"\b(?:avg|average|mean|median)\b")
IN_TOTAL = re.compile(r"\b(?:total|totals|sum|subtotal)\b")
UNIT = re.compile(r"[\s(\[]*(?:°|deg(?:rees)?\.?)?\s*([cf])[)\]]*$", re.IGNORECASE)
BEHIND = re.compile(r"\s*[(\[][^)\]]*[)\]]\s*$")
JUDGE = re.compile(
    r"\b(?:judges?|jdg|seat|sheet|j)\s*[#.:]?\s*(?:no\.?\s*)?(\d{1,2}|[a-h])\b", re.IGNORECASE
)


def judge_in(text: str) -> tuple[str, str]:
    """Which judge a head names, and the rest of it: “Taste (J2)” is 2 and “Taste”."""
    found = JUDGE.search(text)
    if found is None:
        return "", text
    rest = f"{text[: found.start()]} {text[found.end() :]}"
    return found[1].upper(), rest.strip(" ()[]-–:,/·")


def criterion_of(text: str, names: Iterable[str]) -> str:
    """
    The criterion, of those with these plain names, that a head means; else nothing.

    By its name, its first letters, or another word for the same where only one fits.
    """
    words = plain_words(text)
    names = list(dict.fromkeys(names))
    if not words:
        return ""
    if words in names:
        return words
    begun = [name for name in names if name.startswith(words) or words.startswith(f"{name} ")]
    if len(begun) == 1 and len(words) >= 3:
        return begun[0]
    for group in ALIKE:
        if words in group:
            fitting = [name for name in names if name in group]
            if len(fitting) == 1:
                return fitting[0]
    return ""


def field_choices(criteria: Mapping[str, str]) -> tuple[tuple[str, Choices], ...]:
    """The choices for a column where boxes may be marked on these criteria, by plain name."""
    marks = tuple((f"{MARK_OF}{key}", f"{name}: a judge’s mark") for key, name in criteria.items())
    totals = tuple(
        (f"{TOTAL_OF}{key}", f"{name}: all judges’ total") for key, name in criteria.items()
    )
    groups = []
    for group, choices in FIELDS:
        groups.append((group, (*marks, *choices, *totals) if group == "Marks" else choices))
    return tuple(groups)


def label_of(code: str) -> str:
    """What a column says, in words."""
    if code.startswith(MARK_OF):
        return f"mark for {code.removeprefix(MARK_OF)}"
    if code.startswith(TOTAL_OF):
        return f"all judges’ total for {code.removeprefix(TOTAL_OF)}"
    return LABEL_OF.get(code, "left out" if code == SKIP else "not decided")
