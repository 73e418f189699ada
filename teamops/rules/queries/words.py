"""What a rulebook says, field by field, in a cook's words; nothing here asks the database."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from teamops.calc.scoring import Direction, Rules, Sheet, describe_step, plain, score, step_words
from teamops.calc.words import count_of, list_words, opening
from teamops.rules.models import Criterion, Rulebook
from teamops.rules.records import rules_of


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing a rulebook says: what about, and what."""

    label: str
    words: str


def full_box(rules: Rules) -> str:
    """What a table of judges who all give the most comes to, or that it cannot be told."""
    if not is_bounded(rules):
        if rules.direction is Direction.LOW:
            return "no most: the fewest points win"
        return "no end: a highest mark is not set"
    sheets = []
    for panel in rules.panel_keys:
        best = {criterion.key: criterion.most for criterion in rules.panel_criteria(panel)}
        expected, _ = rules.panel_sheets(panel)
        sheets += [Sheet(f"judge {n}", best, panel=panel) for n in range(1, expected + 1)]
    total = score(sheets, rules).total
    return "not set" if total is None else plain(rules.round(total))


def is_bounded(rules: Rules) -> bool:
    """Whether the most that a box can get is known, and worth getting."""
    return rules.direction is Direction.HIGH and all(c.most is not None for c in rules.criteria)


def scale_words(criterion: Criterion) -> str:
    """A criterion's scale: “1 to 10 in half marks”."""
    low, high = criterion.least, criterion.most
    if low is not None and high is not None:
        words = f"{plain(low)} to {plain(high)}"
    elif high is not None:
        words = f"up to {plain(high)}"
    else:
        words = "any mark" if low is None else f"from {plain(low)}"
    return words if criterion.step is None else f"{words} in {step_words(criterion.step)}"


def criterion_words(criterion: Criterion) -> str:
    """All that is said of a criterion: its scale, its weight, its panel."""
    words = scale_words(criterion)
    if criterion.weight != 1:
        words += f", counts {plain(criterion.weight)} times"
    return f"{words}, marked by the {criterion.panel} panel" if criterion.panel else words


def total_words(rulebook: Rulebook) -> str:
    """How a table of marks becomes the total, in a few sentences."""
    return " ".join(_total_sentences(rulebook))


def _total_sentences(rulebook: Rulebook) -> Iterator[str]:
    if rulebook.panels:
        for panel in rulebook.panels:
            many = count_of(panel["expected"], "judge")
            yield f"{opening(many)} on the {panel['name']} panel."
        yield "The panels are added up."
    else:
        judges = rulebook.sheets_expected
        yield f"{judges} judges are expected." if judges > 1 else "One judge is expected."
    if rulebook.outlier_distance is not None:
        distance = plain(rulebook.outlier_distance)
        yield f"What is more than {distance} points from the average does not count."
    yield from _drop_sentences(rulebook)
    what = rulebook.get_aggregate_display()
    times = f", times {plain(rulebook.factor)}" if rulebook.factor != 1 else ""
    yield f"The total is the {what} of what counts{times}."
    yield f"A missing sheet {rulebook.get_missing_sheet_display()}."
    if rulebook.round_where != Rulebook.RoundWhere.DISPLAY:
        where = rulebook.get_round_where_display()
        places = count_of(rulebook.round_places, "place")
        yield f"{opening(where)} is rounded to {places}, half up."


def _drop_sentences(rulebook: Rulebook) -> Iterator[str]:
    if rulebook.drop_scope == Rulebook.DropScope.NONE:
        return
    by_sheet = rulebook.drop_scope == Rulebook.DropScope.SHEET
    what, where = ("sheet", "") if by_sheet else ("mark", "in each criterion ")
    for number, end in ((rulebook.drop_low, "lowest"), (rulebook.drop_high, "highest")):
        if number:
            many = (
                f"{number} {end} {what}s {where}do" if number > 1 else f"{end} {what} {where}does"
            )
            yield f"The {many} not count."


def late_words(rulebook: Rulebook) -> str:
    """What happens to a late box, in sentences; empty where nothing is said."""
    words = []
    if rulebook.late_grace_seconds:
        words.append(f"{rulebook.late_grace_seconds} seconds of grace.")
    if rulebook.late == Rulebook.Late.DOCKED and rulebook.late_points is not None:
        words.append(f"A late box loses {plain(rulebook.late_points)} points.")
    elif rulebook.late:
        words.append(f"A late box {rulebook.get_late_display()}.")
    return " ".join([*words, rulebook.lateness]).strip()


def pieces_words(rulebook: Rulebook) -> str:
    """How many pieces go in the box; empty where nothing is said."""
    least, most = rulebook.pieces_least, rulebook.pieces_most
    if least is None and most is None:
        return ""
    if least == most:
        return f"{least}"
    if most is None:
        return f"{least} or more"
    return f"{most} at most" if not least else f"{least} to {most}"


def box_facts(rulebook: Rulebook) -> tuple[Fact, ...]:
    """What may be in the box and when it is turned in, without what is not said."""
    minutes = {"window": rulebook.window_minutes, "protest": rulebook.protest_minutes}
    facts = [
        Fact("Turn-in window", _minutes(minutes["window"])),
        Fact("Late", late_words(rulebook)),
        Fact("The right piece", rulebook.piece),
        Fact("Pieces", pieces_words(rulebook)),
        Fact("Garnish", _allowed(rulebook.get_garnish_display(), rulebook.garnish_words)),
        Fact("Sauce", _allowed(rulebook.get_sauce_display(), rulebook.sauce_words)),
        Fact("In the box", rulebook.box_rules),
        Fact("Protest", _minutes(minutes["protest"], "within {} of the sheets")),
    ]
    return tuple(fact for fact in facts if fact.words)


def book_facts(rulebook: Rulebook, criteria: Sequence[Criterion]) -> dict[str, str]:
    """Everything a rulebook says, by label: what two of them are told apart by."""
    names = {row.key: row.name for row in criteria}
    facts = {f"What is marked: {row.name}": criterion_words(row) for row in criteria}
    facts["Order on the sheet"] = list_words(list(names.values()))
    facts["Total"] = total_words(rulebook)
    facts["Fewest sheets for a total"] = _least_words(rulebook)
    facts["Penalty mark"] = _number(rulebook.penalty_mark)
    facts["Judges should lie within"] = _number(rulebook.max_spread, " points")
    facts["Decimal places"] = str(rulebook.round_places)
    facts["A tie"] = "; ".join(tie_words(rulebook, criteria))
    facts["Who wins"] = opening(rulebook.get_direction_display())
    facts["After a shared place"] = rulebook.get_place_method_display()
    facts["Several rounds"] = rulebook.get_rounds_display()
    for fact in box_facts(rulebook):
        facts[fact.label] = fact.words
    facts["Valid"] = valid_words(rulebook)
    facts["Source"] = rulebook.source
    return facts


def tie_words(rulebook: Rulebook, criteria: Sequence[Criterion]) -> tuple[str, ...]:
    """The tie-break steps in order."""
    if not criteria:
        return ()
    rules = rules_of(rulebook, criteria)
    return tuple(opening(describe_step(step, rules)) for step in rules.tie_break)


def valid_words(rulebook: Rulebook) -> str:
    """From when to when it holds; empty where nothing is said."""
    first, last = rulebook.valid_from, rulebook.valid_to
    words = [f"from {first:%B} {first.day}, {first.year}" if first else ""]
    words.append(f"to {last:%B} {last.day}, {last.year}" if last else "")
    return " ".join(filter(None, words))


def _least_words(rulebook: Rulebook) -> str:
    if rulebook.panels:
        return list_words([f"{panel['least']} {panel['name']}" for panel in rulebook.panels])
    return str(rulebook.sheets_least)


def _number(value: Decimal | None, unit: str = "") -> str:
    return "" if value is None else f"{plain(value)}{unit}"


def _minutes(count: int | None, words: str = "{}") -> str:
    if count is None:
        return ""
    return words.format("1 minute" if count == 1 else f"{count} minutes")


def _allowed(allowed: str, words: str) -> str:
    if allowed == Rulebook.Allowed.UNKNOWN.label:
        return words
    return f"{opening(allowed)}: {words}" if words else opening(allowed)
