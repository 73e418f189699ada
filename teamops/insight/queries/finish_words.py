"""What the page of finish temperatures says; never stronger than the numbers."""

from collections.abc import Iterator, Sequence
from decimal import ROUND_HALF_UP, Decimal

from teamops.calc.temperature import (
    BestTemperature,
    beyond_sentence,
    temperature_sentence,
)
from teamops.calc.units import show_temperature
from teamops.calc.words import count_of, list_words, number_word, opening
from teamops.contests.models import Category
from teamops.contests.queries.cooked import LEAST_C, under_minimum
from teamops.insight.queries.finish_cooks import NEAR_C, Box, Cook, Moment, Target
from teamops.rules.models import Criterion, Rulebook
from teamops.teams.models import Team

EIGHT_IN_TEN_C = 1.2816 * 3.0  # [°C] either side of the target, before any cook
NAMED = 3  # contests named in a note


def exact(celsius: float, units: str) -> str:
    """What was noted or typed, to the tenth."""
    return show_temperature(Decimal(str(round(celsius, 4))), units)


def rough(celsius: float, units: str) -> str:
    """What was reckoned, to half a degree: no thermometer of a team is finer."""
    value, unit = Decimal(str(celsius)), "°C"
    if units == Team.Units.US:
        value, unit = value * 9 / 5 + 32, "°F"
    halves = (value * 2).quantize(Decimal(1), ROUND_HALF_UP)
    return f"{(halves / 2).normalize():f} {unit}"


def apart(celsius: float, units: str) -> str:
    """A difference of temperatures, to the tenth at most."""
    value, unit = (celsius * 9 / 5, "°F") if units == Team.Units.US else (celsius, "°C")
    return f"{Decimal(str(round(value, 1))).normalize():f} {unit}"


def moment_options(boxes: Sequence[Box]) -> Iterator[tuple[str, str]]:
    """The three temperatures, each with how many boxes have it."""
    for moment in Moment:
        many = sum(1 for box in boxes if box.at(moment) is not None)
        yield moment.value, f"{moment.label} ({number_word(many)} box{'es' * (many != 1)})"


def silence(
    rulebook: Rulebook, criterion: Criterion | None, boxes: Sequence[Box], category: Category
) -> str:
    """Why nothing at all can be reckoned here; empty where it can."""
    if criterion is None:
        return f"{rulebook} has no criterion that is called doneness: choose the one that is."
    if rulebook.direction == Rulebook.Direction.LOW:
        return f"Under {rulebook} the fewest points win: no best temperature is looked for."
    if criterion.least is None or criterion.most is None:
        return f"The marks of {criterion} have no end on one side, so no curve can be laid on them."
    if not any(box.at(moment) is not None for box in boxes for moment in Moment):
        return (
            "No box here has a temperature noted. Note the peak of your next cook under “How was it"
            " cooked?”: the page of its contest asks it."
        )
    if category.ancillary and category.aim_c is None:
        return f"{category} has no aim yet. Say below what peak you cook it to, and this can start."
    return ""


def aim_words(category: Category, units: str) -> str:
    """What the team aims at, or what is taken where it has not said."""
    if category.aim_c is not None:
        return f"You aim at a peak of {show_temperature(category.aim_c, units)}."
    if category.ancillary:
        return "You have not said what peak you aim at."
    medium = show_temperature(Decimal("60.2778"), units)
    return (
        f"You have not said what peak you aim at: {medium} is taken, the middle of medium (139 to"
        " 142 °F, common practice, no published source)."
    )


def best_words(best: BestTemperature | None, moment: Moment, units: str) -> str:
    """The best temperature, or that it cannot be told."""
    if best is None:
        return f"No box that counts has its {moment.label} temperature noted."
    shown = [rough(value, units) for value in (best.median, best.low, best.high)]
    return temperature_sentence(best, shown)


def notes(
    cooks: Sequence[Cook],
    boxes: Sequence[Box],
    moment: Moment,
    target: Target,
    best: BestTemperature | None,
    units: str,
) -> Iterator[str]:
    """What a reader of the table should know about it."""
    if best and (beyond := beyond_sentence(best)):
        yield beyond
    if cooks and moment is not Moment.PEAK:
        yield _target_note(target, moment, units)
    without = sum(1 for box in boxes if box.at(moment) is None)
    if cooks and without:
        many, have = ("One box has", "its") if without == 1 else (f"{without} boxes have", "their")
        yield f"{many} no {moment.label} temperature noted, so {have} marks are not in it."
    if any(len(cook.boxes) > 1 for cook in cooks):
        yield (
            f"Boxes of one contest that finished within {apart(NEAR_C, units)} of each other are"
            " averaged and count once; further apart each counts."
        )
    mixed = list(dict.fromkeys(box.contest for box in boxes if box.is_mixed_up))
    if mixed:
        named = [*mixed[:NAMED], f"{len(mixed) - NAMED} more"] if len(mixed) > NAMED else mixed
        yield (
            f"At {list_words(named)} the peak is below the pull or what was last seen. A steak"
            " warms on after it is pulled: one may be noted in the other’s place."
        )


def _target_note(target: Target, moment: Moment, units: str) -> str:
    start, aim = rough(target.at_c, units), exact(target.aim_c, units)
    if target.pairs:
        how = f"your boxes rose {apart(target.rise_c, units)} from there, the middle one of"
        how += f" {target.pairs} with both noted"
    elif moment is Moment.PULL:
        how = f"{apart(target.rise_c, units)} of rise are taken (common practice, no source)"
    else:
        how = "no rise is taken after what was last seen, as too few boxes have both noted"
    return f"The aim is a peak, {aim}. For the {moment.label} the search starts at {start}: {how}."


def before(target: Target, moment: Moment, units: str) -> str:
    """What is believed before any cook."""
    low, high = (rough(target.at_c + side * EIGHT_IN_TEN_C, units) for side in (-1, 1))
    named = "your aim" if target.is_own else "medium"
    about = named if moment is Moment.PEAK else f"{named}, less the rise"
    return f"Before any cook: about {about}, 8 in 10 sure it lies in {low} to {high}."


def after(best: BestTemperature, units: str) -> str:
    """What is believed after them, and what a miss costs, where that can be told."""
    cooks = count_of(best.cooks, "cook")
    low, high = rough(best.low, units), rough(best.high, units)
    if not best.told:
        return f"After {cooks}: 8 in 10 sure of {low} to {high}, hardly narrower."
    five_f = best.curvature * (25 / 9) ** 2
    step = "5 °F" if units == Team.Units.US else "2.8 °C"
    return (
        f"After {cooks}: 8 in 10 sure it lies in {low} to {high}. By the likeliest curve a"
        f" finish {step} off costs about {five_f:.1f} of a mark, on a scale of ten."
    )


def cautions(
    category: Category, target: Target, told: BestTemperature | None, units: str
) -> Iterator[str]:
    """What has to be said beside a temperature that scores well."""
    if category.ancillary:
        yield (
            "This says what judges liked, not what is safe. Poultry wants 165 °F (73.9 °C), ground"
            " meat 160 °F (71.1 °C), fish and whole cuts 145 °F (62.8 °C), by FSIS and FDA."
        )
    else:
        least = float(LEAST_C)
        peak = "the peak aimed at" if target.is_own else "the peak taken, as you have said none"
        below = [f"{peak}, {exact(target.aim_c, units)},"] * (target.aim_c < least)
        if told and told.median + target.rise_c < least:
            below.append("the best guess")
        if not below:
            return
        are = "are" if len(below) > 1 else "is"
        yield f"{opening(list_words(below))} {are} {under_minimum(units)}"
        yield "Blade-tenderized, injected or tumbled beef is not an intact cut."
    yield "Your local code governs, and a calibrated thermometer decides, never this page."


def curve_words(
    cooks: Sequence[Cook],
    moment: Moment,
    target: Target,
    told: BestTemperature | None,
    units: str,
) -> str:
    """What the picture shows, for somebody who hears the page."""
    ends = [pick(cook.at_c for cook in cooks) for pick in (min, max)]
    marks = [pick(cook.mean for cook in cooks) for pick in (min, max)]
    said = (
        f"Mean doneness marks of {count_of(len(cooks), 'cook')} against their {moment.label}"
        f" temperature, from {exact(ends[0], units)} to {exact(ends[1], units)}; marks from"
        f" {marks[0]:.2f} to {marks[1]:.2f}. The search starts at {exact(target.at_c, units)}."
    )
    if told:
        said += (
            f" A curve with its band is highest at {rough(told.median, units)}; the best lies 8 in"
            f" 10 from {rough(told.low, units)} to {rough(told.high, units)}."
        )
    return said
