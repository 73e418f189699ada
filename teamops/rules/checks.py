"""What no table of marks could be totalled under, in a cook's words."""

from collections.abc import Iterator, Sequence

from django.core.exceptions import ValidationError

from teamops.calc.words import list_words, number_word
from teamops.rules.models import Criterion, Rulebook
from teamops.rules.records import rules_of

MOST_JUDGES = 99
MOST_CRITERIA = 30
MOST_STEPS = 30
LONGEST_STEP = 60
LARGEST_COUNT = 9999  # what the smallest of the two databases' columns keeps, and plenty
COUNTS = (
    "drop_high", "window_minutes", "late_grace_seconds", "pieces_least", "pieces_most",
    "protest_minutes",
)  # fmt: skip


def check_book(rulebook: Rulebook, criteria: Sequence[Criterion]) -> None:
    """Refuse (ValidationError, by field where there is one) rules that contradict themselves.

    No query. What is only unusual passes: a weight of 0, a scale without ends, no tie-break.
    """
    refused: dict[str, list[str]] = {}
    for field, words in [*_book(rulebook), *_criteria(rulebook, criteria)]:
        refused.setdefault(field, []).append(words)
    if refused:
        raise ValidationError(refused)
    try:
        rules_of(rulebook, criteria)
    except (TypeError, ValueError) as why:  # what is left has no words of its own
        raise ValidationError(f"These rules cannot be worked with: {why}.") from why


def _book(rulebook: Rulebook) -> Iterator[tuple[str, str]]:
    expected, least = rulebook.sheets_expected, rulebook.sheets_least
    if expected and expected > MOST_JUDGES:
        yield "sheets_expected", f"More than {MOST_JUDGES} judges do not sit at one table."
    if expected and least and least > expected:
        yield "sheets_least", "A total cannot need more sheets than judges are expected."
    dropped = (rulebook.drop_low or 0) + (rulebook.drop_high or 0)
    if rulebook.drop_scope == Rulebook.DropScope.NONE and dropped:
        yield "drop_scope", "Say what is dropped: whole sheets, or marks criterion by criterion."
    seats = [expected, *(panel["expected"] for panel in rulebook.panels or [])]
    if dropped and dropped >= max(seat or 0 for seat in seats):
        yield "drop_low", "That drops every sheet. Leave at least one."
    for name in COUNTS:
        if (getattr(rulebook, name) or 0) > LARGEST_COUNT:
            yield name, f"Nothing here goes beyond {LARGEST_COUNT}: check the number."
    if rulebook.valid_from and rulebook.valid_to and rulebook.valid_to < rulebook.valid_from:
        yield "valid_to", "It cannot end before it begins."
    least_pieces, most_pieces = rulebook.pieces_least, rulebook.pieces_most
    if least_pieces is not None and most_pieces is not None and least_pieces > most_pieces:
        yield "pieces_most", "The fewest pieces must not be above the most."


def _criteria(rulebook: Rulebook, criteria: Sequence[Criterion]) -> Iterator[tuple[str, str]]:
    if not criteria:
        yield "criteria", "Name at least one thing that judges mark."
    if len(criteria) > MOST_CRITERIA:
        yield "criteria", f"More than {MOST_CRITERIA} criteria do not fit on a sheet."
    keys = [criterion.key for criterion in criteria]
    if len(set(keys)) < len(keys):
        yield "criteria", "Two criteria have the same short name."
    for criterion in criteria:
        yield from (("criteria", f"{criterion.name}: {words}") for words in _scale(criterion))
    yield from _panels(rulebook, criteria)
    yield from _steps(rulebook.tie_break, keys)


def _scale(criterion: Criterion) -> Iterator[str]:
    low, high = criterion.least, criterion.most
    if low is not None and high is not None and low >= high:
        yield "the lowest mark must be below the highest."
    if criterion.step is not None and criterion.step <= 0:
        yield "a step must be above 0."


def _panels(rulebook: Rulebook, criteria: Sequence[Criterion]) -> Iterator[tuple[str, str]]:
    marked = {criterion.panel for criterion in criteria}
    names = [panel["name"] for panel in rulebook.panels or []]
    for name in sorted(set(names) - marked):
        yield "panels", f"No criterion is marked by the panel “{name}”. Name it at a criterion."
    if any(panel["expected"] > MOST_JUDGES for panel in rulebook.panels or []):
        yield "panels", f"More than {MOST_JUDGES} judges do not sit on one panel."
    for name in sorted({name for name in names if names.count(name) > 1}):
        yield "panels", f"The panel “{name}” stands here twice."


def _steps(steps: object, keys: Sequence[str]) -> Iterator[tuple[str, str]]:
    if not isinstance(steps, list) or not all(isinstance(step, str) for step in steps):
        yield "tie_break", "The steps that decide a tie are not a list."
        return
    if len(steps) > MOST_STEPS:
        yield "tie_break", f"More than {MOST_STEPS} steps to decide a tie are not kept."
    for number, step in enumerate(steps, start=1):
        if not known_step(step, keys):
            known = f" Its criteria are {list_words(keys)}." if step.startswith("sum:") else ""
            words = f"Step {number_word(number)} of the tie is not known: “{step[:40]}”."
            yield "tie_break", words + known
    for end in ("shared", "draw"):
        if end in steps[:-1]:
            what = "sharing the place" if end == "shared" else "a draw"
            yield "tie_break", f"Nothing can come after {what}."


def known_step(step: str, keys: Sequence[str]) -> bool:
    """Whether a tie-break step can be applied where these are the criteria's keys."""
    if len(step) > LONGEST_STEP:
        return False
    match step.split(":"):
        case ["sum", key, "kept" | "all"]:
            return key in keys
        case ["count_of", mark] | ["count_of", mark, "kept" | "all"]:
            return mark.isascii() and mark.replace(".", "", 1).isdecimal()
        case ["dropped_total" | "head_judge" | "shared" | "draw"]:
            return True
    return False
