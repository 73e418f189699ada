"""The day as a constraint program, for OR-Tools' CP-SAT; loaded only when a plan asks for it."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from importlib import import_module
from importlib.util import find_spec
from typing import Any

from teamops.calc.timing.net import DEVIATION, Built, Net


class Found(StrEnum):
    """What the solver can say."""

    BEST = "best"
    SOME = "some"
    NONE = "none"  # proved: there is no plan
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Solved:
    """Its word, the plan if there is one, and what no plan can be cheaper than."""

    found: Found
    built: Built | None = None
    bound: int = 0


def has_solver() -> bool:
    """Whether OR-Tools is installed; looks without loading it."""
    return find_spec("ortools") is not None


def solve_net(
    net: Net,
    *,
    limit_s: float,
    seed: int = 1,
    hint: Sequence[int] | None = None,
    cheapest: bool = True,
) -> Solved:
    """
    The cheapest plan, by one worker with a fixed seed in at most `limit_s` seconds. [s]

    With `cheapest` False any plan will do, and its cost is no matter.

    The same net, seed and hint give the same plan where the limit does not cut in. Refuses
    (ImportError) to work without OR-Tools.
    """
    cp_model = import_module("ortools.sat.python.cp_model")
    model = cp_model.CpModel()
    starts = [
        model.new_int_var(low, high, key)
        for key, low, high in zip(net.keys, net.earliest, net.latest, strict=True)
    ]
    for a, b, d in net.arcs:
        model.add(starts[b] >= starts[a] + d)
    _add_pools(model, net, starts)
    on = _add_crews(model, net, starts)
    if cheapest:
        model.minimize(_cost(model, net, starts))
    for start, at in zip(starts, hint or (), strict=False):
        model.add_hint(start, at)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_time_in_seconds = limit_s
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return Solved(Found.NONE)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Solved(Found.UNKNOWN)
    values = tuple(solver.value(start) for start in starts)
    crew = tuple(tuple(p for p, v in team.items() if solver.value(v)) for team in on)
    found = Found.BEST if status == cp_model.OPTIMAL else Found.SOME
    return Solved(found, Built(values, crew, net.cost(values)), round(solver.best_objective_bound))


def _add_pools(model: Any, net: Net, starts: Sequence[Any]) -> None:
    """No pool is ever overdrawn."""
    for pool in net.pools:
        users = [i for i, demand in enumerate(pool.demands) if demand and net.ticks[i]]
        bars = [model.new_fixed_size_interval_var(starts[i], net.ticks[i], "") for i in users]
        demands = [pool.demands[i] for i in users]
        for start, end, amount in pool.taken:
            bars.append(model.new_fixed_size_interval_var(start, end - start, ""))
            demands.append(amount)
        if users:
            model.add_cumulative(bars, demands, pool.capacity)


def _add_crews(model: Any, net: Net, starts: Sequence[Any]) -> list[dict[int, Any]]:
    """Each step has its people, each person one step at a time; who is on what."""
    on: list[dict[int, Any]] = []
    bars: list[list[Any]] = [
        [model.new_fixed_size_interval_var(s, e - s, "") for s, e, _ in taken] for taken in net.away
    ]
    mates: dict[str, dict[int, Any]] = {}
    for i, crew in enumerate(net.crews):
        team = {p: model.new_bool_var("") for p in crew.able} if crew.hands else {}
        on.append(team)
        if not team:
            continue
        model.add(sum(team.values()) == crew.hands)
        if crew.cook is not None:
            model.add(team[crew.cook] == 1)
        for p, is_on in team.items() if net.ticks[i] else ():
            bar = model.new_optional_fixed_size_interval_var(starts[i], net.ticks[i], is_on, "")
            bars[p].append(bar)
        first = mates.setdefault(crew.group, team) if crew.group else team
        for p in first.keys() | team.keys():
            model.add(first.get(p, 0) == team.get(p, 0))
    for mine in bars:
        model.add_no_overlap(mine)
    return on


def _cost(model: Any, net: Net, starts: Sequence[Any]) -> Any:
    """The cost of net.Net.cost, in the solver's terms."""

    def away_from(i: int, at: int) -> Any:
        far = max(abs(net.earliest[i] - at), abs(net.latest[i] - at))
        gap = model.new_int_var(0, far, "")
        model.add(gap >= starts[i] - at)
        model.add(gap >= at - starts[i])
        return gap

    off = sum(away_from(i, target) for i, target in net.ends)
    if net.near:
        return DEVIATION * off + sum(away_from(i, old) for i, old in net.near)
    return DEVIATION * off + sum(net.close - starts[i] for i in net.firsts)
