"""What a cook day's plan is made of. Moments and lengths are whole ticks from one common zero."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum


class Edge(StrEnum):
    """Which end of a step is meant."""

    START = "start"
    END = "end"


@dataclass(frozen=True, slots=True)
class Spread:
    """
    How long a step takes when it goes well, as usual, and badly. [min]

    Refuses (ValueError) what is not finite, below 0, or out of order.
    """

    low: float
    likely: float
    high: float

    def __post_init__(self) -> None:
        three = (self.low, self.likely, self.high)
        if not all(map(math.isfinite, three)) or not 0 <= self.low <= self.likely <= self.high:
            raise ValueError(f"want 0 <= shortest <= usual <= longest minutes, got {three}")


@dataclass(frozen=True, slots=True)
class Step:
    """
    One thing to do without a break; its key is the only one of the day. [ticks]

    `hands` people do it, who can do `skill` (none asked if empty); `cook` is one of them by key,
    and steps of one `same_cook` label go to the same people. `uses` names resources and how many
    of their places. `spread` is for the chances; without one the step takes just its ticks.
    `least` is how short it may be cut when we are late: not at all, if None.
    """

    key: str
    name: str
    ticks: int
    hands: int = 0
    skill: str = ""
    cook: str = ""
    same_cook: str = ""
    uses: tuple[tuple[str, int], ...] = ()
    spread: Spread | None = None
    least: int | None = None


@dataclass(frozen=True, slots=True)
class Link:
    """From the end of one step to the start of another: `least` to `most` (any, if None). [ticks]

    A least gap below 0 lets the second begin so much before the first ends.
    """

    before: str
    after: str
    least: int = 0
    most: int | None = None


@dataclass(frozen=True, slots=True)
class Cap:
    """A rule on the time from an edge of one step to an edge of a later one. [ticks]"""

    name: str
    first: str
    then: str
    least: int | None = None
    most: int | None = None
    first_edge: Edge = Edge.START
    then_edge: Edge = Edge.START


@dataclass(frozen=True, slots=True)
class Window:
    """When a box may be turned in, both ends included, and when we mean to. [ticks]"""

    opens: int
    closes: int
    target: int


@dataclass(frozen=True, slots=True)
class Job:
    """
    One box with its steps, or, without a window, work that others wait for (lighting a grill).

    The last step ends with the turn-in.
    """

    key: str
    name: str
    steps: tuple[Step, ...]
    links: tuple[Link, ...] = ()
    caps: tuple[Cap, ...] = ()
    window: Window | None = None

    @property
    def last(self) -> Step:
        """The step that ends with the turn-in."""
        return self.steps[-1]


@dataclass(frozen=True, slots=True)
class Person:
    """A pair of hands and what they may do; None stands for everything."""

    key: str
    name: str
    skills: frozenset[str] | None = None

    def may(self, step: Step) -> bool:
        """Whether this person may be given the step."""
        return not step.skill or self.skills is None or step.skill in self.skills


@dataclass(frozen=True, slots=True)
class Resource:
    """A grill or the like, with places."""

    key: str
    name: str
    capacity: int


@dataclass(frozen=True, slots=True)
class Block:
    """Time that is taken, [start, end): the cooks' meeting; everybody's if `people` is None."""

    name: str
    start: int
    end: int
    people: frozenset[str] | None = None


@dataclass(frozen=True, slots=True)
class Day:
    """
    All there is to plan. Nothing starts before `begins`. [ticks]

    `links` and `caps` join steps of different jobs. `pins` are starts that have happened, `crew`
    who is on those; with `near` (the plan so far) the new plan moves little, not starts late.
    """

    begins: int
    jobs: tuple[Job, ...]
    people: tuple[Person, ...]
    resources: tuple[Resource, ...] = ()
    blocks: tuple[Block, ...] = ()
    links: tuple[Link, ...] = ()
    caps: tuple[Cap, ...] = ()
    pins: Mapping[str, int] = field(default_factory=dict)
    crew: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    near: Mapping[str, int] = field(default_factory=dict)

    def steps(self) -> Iterator[Step]:
        """Every step, job by job."""
        return (step for job in self.jobs for step in job.steps)

    def all_links(self) -> Iterator[Link]:
        """The links inside jobs and between them."""
        yield from (link for job in self.jobs for link in job.links)
        yield from self.links

    def all_caps(self) -> Iterator[Cap]:
        """The caps inside jobs and between them."""
        yield from (cap for job in self.jobs for cap in job.caps)
        yield from self.caps


@dataclass(frozen=True, slots=True)
class Plan:
    """When each step starts [ticks] and who does it, by keys."""

    starts: Mapping[str, int]
    crew: Mapping[str, tuple[str, ...]]
