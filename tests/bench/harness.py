"""Measure a page beside a plain one, in the same process and at the same time."""

import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass

Call = Callable[[], object]

ROUNDS = 3
ROUND_SECONDS = 0.6
LEAST_CALLS = 5
MOST_SECONDS = 4  # of a round: what takes as long at once is called once


@dataclass(frozen=True)
class Goal:
    """How many times the baseline a case may take, on each database."""

    sqlite: float
    postgresql: float

    def on(self, vendor: str) -> float:
        return self.sqlite if vendor == "sqlite" else self.postgresql


@dataclass(frozen=True)
class Measured:
    """One case on one database: milliseconds are of this machine, the ratio is what counts."""

    name: str
    database: str
    ours_ms: float
    baseline_ms: float
    ratio: float
    goal: float
    queries: int
    queries_on_little: int | None
    met: bool


def compare(
    name: str,
    database: str,
    ours: Call,
    baseline: Call,
    goal: float,
    counts: tuple[int, int | None],
) -> Measured:
    """Time both in turns, each round of many calls, and hold the medians against each other.

    `counts` are the queries on much data and on little: a page that asks more on much has not
    met its goal, however quick it was here.
    """
    ours(), baseline()  # what loads on first use is not what a visit costs
    rounds = [(per_call(ours), per_call(baseline)) for _ in range(ROUNDS)]
    here, there = (statistics.median(side) for side in zip(*rounds, strict=True))
    steady = counts[1] in (None, counts[0])
    met = here / there <= goal and steady
    return Measured(name, database, here * 1e3, there * 1e3, here / there, goal, *counts, met)


def per_call(call: Call) -> float:
    """The median time of a call over a round. [s]"""
    times: list[float] = []
    while sum(times) < ROUND_SECONDS or len(times) < LEAST_CALLS:
        if sum(times) > MOST_SECONDS:
            break
        begun = time.perf_counter()
        call()
        times.append(time.perf_counter() - begun)
    return statistics.median(times)
