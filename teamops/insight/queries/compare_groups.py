"""What a comparison reads: a selection's boxes, put into the groups of one dimension."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any, NamedTuple

from django.db.models import CharField, Q
from django.db.models.functions import Cast

from teamops.insight.queries.choices import Choices, Selection
from teamops.insight.queries.days import LINE, Boxes, chosen, dashed
from teamops.insight.queries.narrow import (
    FIELDS,
    GUESTS,
    NOT_NOTED,
    RAIN,
    WIND,
    Held,
    air_words,
    cook_key,
)
from teamops.judging.models import CriterionResult
from teamops.rules.models import Rulebook
from teamops.teams.models import Team

COOK = ("result__entry__cook_of_record_id", "result__entry__guest_cook")


class Bundle(NamedTuple):
    """The boxes of one contest in one category under one rulebook; by one cook, where asked."""

    contest_id: str
    category_id: str
    rulebook_id: int
    cook: str
    boxes: Boxes


def dimensions(choices: Choices) -> dict[str, str]:
    """What tells this team's contests apart, with the word for it."""
    guests = any(group.cook == GUESTS for group in choices.groups)
    apart = {
        "season": ("season", len(choices.years())),
        "category": ("category", len(choices.categories())),
        "rulebook": ("rulebook", len(choices.rulebooks())),
        "cook": ("cook", len(choices.cooks) + guests),
        "place": ("place", len(choices.places())),
        "rain": ("rain", len(choices.noted("rain"))),
        "wind": ("wind", len(choices.noted("wind"))),
        "air": ("air temperature", len(choices.noted("air"))),
    }
    return {name: word for name, (word, many) in apart.items() if many > 1}


def opened(selection: Selection, by: str) -> Selection:
    """The selection without the dimension's own part."""
    if by == "season":
        return replace(selection, season=None)
    if by in FIELDS:
        cleared: dict[str, Any] = {by: ""}
        if by == "place":
            cleared["spellings"] = ()
        return replace(selection, narrow=replace(selection.narrow, **cleared))
    return selection


def bundles_of(
    team: Team, selection: Selection, rulebooks: Mapping[Any, Rulebook], by: str
) -> list[Bundle]:
    """Every contest's boxes whose losses are known, with all criteria of their rulebook."""
    cook = COOK if by == "cook" else ()
    entry = "result__entry__"
    rows: Iterable[Any] = (
        CriterionResult.objects.for_team(team)
        .filter(chosen(selection, entry, every_category=by == "category"))
        .filter(Q(lost__isnull=False, result__entry__disqualified=False))
        .order_by()
        .values(
            "criterion_id",
            *cook,
            contest=Cast(f"{entry}contest_id", CharField()),
            category=Cast(f"{entry}category_id", CharField()),
        )
        .annotate(**LINE)
        .values_list("contest", "category", "criterion_id", *LINE, *cook)
    )
    criteria = {row.pk: pk for pk, book in rulebooks.items() for row in book.criteria.all()}
    boxes: dict[tuple[str, str, Any, str], dict[int, list[Sequence[float]]]] = {}
    for contest, category, criterion, lost, most, _, count, *who in rows:
        if criterion in criteria and dashed(contest) not in selection.left_out:
            key = (
                dashed(contest),
                dashed(category),
                criteria[criterion],
                cook_key(*who or (0, "")),
            )
            told = boxes.setdefault(key, {}).setdefault(criterion, [])
            told.append((float(lost), float(most), count))
    return [
        Bundle(*key, _boxes([told[row.pk] for row in rulebooks[key[2]].criteria.all()]))
        for key, told in boxes.items()
        if all(row.pk in told for row in rulebooks[key[2]].criteria.all())
    ]


def _boxes(columns: Sequence[Sequence[Sequence[float]]]) -> Boxes:
    """A criterion's averages put together: two guests at a contest come as two."""

    def average(rows: Sequence[Sequence[float]], place: int) -> float:
        return sum(row[place] * row[2] for row in rows) / sum(row[2] for row in rows)

    lost, most = ([average(rows, place) for rows in columns] for place in (0, 1))
    return Boxes(tuple(lost), tuple(most), (), int(sum(row[2] for row in columns[0])))


def grouped(
    bundles: Sequence[Bundle], choices: Choices, by: str
) -> dict[tuple[str, Any], list[Boxes]]:
    """The bundles by what tells them apart, and by their rulebook."""
    found: dict[tuple[str, Any], list[Boxes]] = {}
    for bundle in bundles:
        held: Held = choices.contests[bundle.contest_id][0]
        match by:
            case "season":
                key = str(held.day.year)
            case "category":
                key = bundle.category_id
            case "rulebook":
                key = str(bundle.rulebook_id)
            case "cook":
                key = bundle.cook
            case _:
                key = getattr(held, by)
        found.setdefault((key, bundle.rulebook_id), []).append(bundle.boxes)
    return found


class Names:
    """What a group is called, by its key."""

    def __init__(self, choices: Choices, rulebooks: Mapping[Any, Rulebook], by: str) -> None:
        self.rulebooks = {
            pk: f"{book.name} {book.edition}".strip() for pk, book in rulebooks.items()
        }
        said: dict[str, Mapping[str, str]] = {
            "category": {str(pk): name for pk, name in choices.categories()},
            "rulebook": {str(pk): name for pk, name in self.rulebooks.items()},
            "cook": {**choices.cooks, GUESTS: "guests", "": "nobody noted"},
            "place": {key: names[0].strip() for key, names in choices.places().items()},
            "rain": RAIN,
            "wind": WIND,
            "air": air_words(choices.units),
        }
        self.said, self.with_rulebook = said.get(by, {}), by == "category"

    def __call__(self, key: tuple[str, Any]) -> str:
        name = self.said.get(key[0]) or key[0] or NOT_NOTED
        name = f"{name[:1].upper()}{name[1:]}"
        return f"{name}, by {self.rulebooks[key[1]]}" if self.with_rulebook else name
