"""The way to a plan: the quick scheme, then the solver on a coarse clock, then on the true one."""

import time
from dataclasses import dataclass
from enum import StrEnum

from teamops.calc.timing.check import check_plan
from teamops.calc.timing.clash import Clash, find_clash
from teamops.calc.timing.coarse import coarser, is_exact, looser
from teamops.calc.timing.net import Built, Net, TooTight, build, plan_of
from teamops.calc.timing.records import Day, Plan
from teamops.calc.timing.scheme import search
from teamops.calc.timing.solver import Found, has_solver, solve_net

COARSE = 2  # ticks of a coarse one: half a minute
LEAST_S = 0.05  # a solver is not started for less


class Outcome(StrEnum):
    """What can honestly be said of a plan."""

    PROVED_BEST = "proved_best"
    GOOD = "good"  # it holds; a better one may exist
    IMPOSSIBLE = "impossible"  # proved: nothing holds
    UNDECIDED = "undecided"  # none found in time, none ruled out


class Method(StrEnum):
    """Where the answer came from."""

    CLOCK = "clock"  # gaps and windows alone, or the count of hand-minutes
    SCHEME = "scheme"
    COARSE = "coarse"
    FINE = "fine"


@dataclass(frozen=True, slots=True)
class Answer:
    """
    The outcome and, if there is one, the plan with its cost (see `net.Net.cost`).

    `bound` is what no plan can be cheaper than. `clash` is the proof by counting, if that sufficed.
    """

    outcome: Outcome
    method: Method
    plan: Plan | None = None
    cost: int = 0
    bound: int = 0
    clash: Clash | None = None


class BrokenPlanError(RuntimeError):
    """A plan failed the independent check: a mistake in here, never handed out as a plan."""


def solve(
    day: Day,
    *,
    seed: int = 1,
    limit_s: float = 5.0,
    tries: int = 60,
    solver: bool | None = None,
    any_plan: bool = False,
) -> Answer:
    """
    Plan a day, or say why not. Every plan has passed `check_plan`.

    `limit_s` is what the solver may take in all [s]; `tries` the passes of the scheme. `solver`
    False does without OR-Tools, None uses it if it is there. With `any_plan` the first plan that
    holds will do. Refuses (ValueError) nonsense, and
    (ImportError) `solver` True where it is missing.
    """
    try:
        net = build(day)
    except TooTight:
        return Answer(Outcome.IMPOSSIBLE, Method.CLOCK, clash=find_clash(day))
    built, proved = search(net, seed, tries)
    if built and proved:
        return _answer(day, net, built, Outcome.PROVED_BEST, Method.SCHEME, built.cost)
    clash = None if built else find_clash(day)
    if clash:
        return Answer(Outcome.IMPOSSIBLE, Method.CLOCK, clash=clash)
    use_solver = solver or (solver is None and has_solver())
    if use_solver and not (built and any_plan):
        climb = _any if any_plan else _climb
        return climb(day, net, built, seed, limit_s)
    if built is None:
        return Answer(Outcome.UNDECIDED, Method.SCHEME, bound=net.least_cost())
    return _answer(day, net, built, Outcome.GOOD, Method.SCHEME, net.least_cost())


def _climb(day: Day, net: Net, built: Built | None, seed: int, limit_s: float) -> Answer:
    """The solver's two rungs."""
    until = time.monotonic() + limit_s
    built, method, word = _coarse(net, built, seed, limit_s / 3)
    if word == Found.NONE:
        return Answer(Outcome.IMPOSSIBLE, Method.COARSE)
    if word == Found.BEST and built:
        return _answer(day, net, built, Outcome.PROVED_BEST, method, built.cost)
    if built is None and (left := until - time.monotonic()) > LEAST_S:
        any_plan = solve_net(net, limit_s=left / 2, seed=seed, cheapest=False)
        built, method = any_plan.built, Method.FINE
    left, bound = until - time.monotonic(), net.least_cost()
    if left > LEAST_S:
        hint = built.starts if built else None
        fine = solve_net(net, limit_s=left, seed=seed, hint=hint)
        if fine.found == Found.NONE:
            return Answer(Outcome.IMPOSSIBLE, Method.FINE)
        bound = max(bound, fine.bound)
        if fine.built and (built is None or fine.built.cost <= built.cost):
            built, method = fine.built, Method.FINE
        if fine.found == Found.BEST and built:
            return _answer(day, net, built, Outcome.PROVED_BEST, method, built.cost)
    if built is None:
        return Answer(Outcome.UNDECIDED, Method.FINE, bound=bound)
    outcome = Outcome.PROVED_BEST if built.cost == bound else Outcome.GOOD
    return _answer(day, net, built, outcome, method, bound)


def _any(day: Day, net: Net, built: Built | None, seed: int, limit_s: float) -> Answer:
    """Is there a plan at all? Asked on the true clock."""
    solved = solve_net(net, limit_s=limit_s, seed=seed, cheapest=False)
    if solved.built:
        return _answer(day, net, solved.built, Outcome.GOOD, Method.FINE, net.least_cost())
    outcome = Outcome.IMPOSSIBLE if solved.found == Found.NONE else Outcome.UNDECIDED
    return Answer(outcome, Method.FINE)


def _coarse(
    net: Net, built: Built | None, seed: int, limit_s: float
) -> tuple[Built | None, Method, Found]:
    """The coarse rung: a better plan if it has one, and what it proves for the true clock."""
    exact, hard = is_exact(net, COARSE), coarser(net, COARSE)
    method, word = Method.SCHEME, Found.NONE
    if hard is not None:
        hint = tuple(at // COARSE for at in built.starts) if built else None
        solved = solve_net(hard, limit_s=limit_s, seed=seed, hint=hint)
        word = solved.found
        if solved.built:
            starts = tuple(at * COARSE for at in solved.built.starts)
            found = Built(starts, solved.built.crew, net.cost(starts))
            if built is None or found.cost < built.cost:
                built, method = found, Method.COARSE
    if exact or word in (Found.SOME, Found.UNKNOWN):
        return built, method, word
    if word == Found.BEST or built:
        return built, method, Found.SOME  # best on the hard side only
    easy = solve_net(looser(net, COARSE), limit_s=limit_s / 2, seed=seed, cheapest=False)
    return None, method, Found.NONE if easy.found == Found.NONE else Found.UNKNOWN


def _answer(
    day: Day, net: Net, built: Built, outcome: Outcome, method: Method, bound: int
) -> Answer:
    plan = plan_of(day, net, built.starts, built.crew)
    faults = check_plan(day, plan)
    if faults:
        raise BrokenPlanError(f"the plan breaks {faults[0]}")
    return Answer(outcome, method, plan, built.cost, bound)
