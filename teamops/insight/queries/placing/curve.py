"""The placing curve of one contest: the place that so many more points would have been worth."""

import json
from dataclasses import dataclass
from decimal import Decimal
from hashlib import sha256
from uuid import UUID

from teamops.calc.placing import Where, needed, place_of, signed, where_words
from teamops.calc.scoring import Direction, exact_sum
from teamops.calc.words import ordinal
from teamops.insight.queries.placing.boxes import Box
from teamops.insight.queries.placing.played import Played

WIDTH, HEIGHT = 360, 280  # CSS pixels: a phone's page, whole
DRAWING = 1  # counts up when the same numbers are drawn another way
MOST_STEPS = 60


@dataclass(frozen=True, slots=True)
class Curve:
    """
    Better places of one contest with the points that level with whoever held them, first to ours.

    `place` is ours as counted; `moved` is what a move gains and the place it makes, where one is
    played. Points are in the direction that is better. [points]
    """

    entry_id: UUID
    contest: str
    day: str
    entries: int
    place: Where
    steps: tuple[tuple[int, Decimal], ...]
    moved: tuple[Decimal, Where] | None

    @property
    def size(self) -> tuple[int, int]:
        """How wide and how high it is drawn, in CSS pixels."""
        return WIDTH, HEIGHT

    @property
    def rows(self) -> list[tuple[str, str]]:
        """Each better place with what levels with it, in words."""
        return [(ordinal(place), signed(points)) for place, points in self.steps]

    @property
    def key(self) -> str:
        """A name for exactly this content."""
        moved = None
        if self.moved:
            gain, where = self.moved
            moved = [str(gain), where.first, where.last]
        steps = [(place, str(points)) for place, points in self.steps]
        ours = [self.entries, self.place.first, self.place.last]
        content = json.dumps([DRAWING, self.contest, self.day, ours, steps, moved])
        return sha256(content.encode()).hexdigest()[:24]

    @property
    def words(self) -> str:
        """What the picture shows, for somebody who hears the page."""
        said = (
            f"Place against extra points at {self.contest}: we were {where_words(self.place)} of "
            f"{self.entries}."
        )
        for place, points in self.steps[:1]:
            said += f" {signed(points)} levels with the {ordinal(place)}."
        if self.moved:
            gain, where = self.moved
            said += f" The move of {signed(gain)} makes it {where_words(where)}."
        return said


def curve_of(box: Box, played: Played | None) -> Curve | None:
    """The curve of a box whose field is known down to its place; None for others. No query."""
    own = box.own
    if box.posted is None or own is None:
        return None
    place = place_of(box.posted.field, own, box.rules, box.before)
    steps = needed(box.posted.field, own, box.rules)
    if place is None or not steps:
        return None
    moved = None
    if played and played.gain and played.would_be and played.would_be.counted:
        moved = (exact_sum([played.after, -own]), played.would_be)
    held_on = box.entry.contest.held_on
    if box.rules.direction is Direction.LOW:
        steps = [(at, -points) for at, points in steps]
        moved = (-moved[0], moved[1]) if moved else None
    return Curve(
        entry_id=box.entry.pk,
        contest=box.entry.contest.name,
        day=f"{held_on.day} {held_on:%b %Y}",
        entries=box.posted.field.entries,
        place=place,
        steps=tuple(steps[-MOST_STEPS:]),
        moved=moved,
    )
