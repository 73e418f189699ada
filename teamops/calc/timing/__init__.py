"""
When each step starts, who does it and on which grill, so that every box makes its window.

The day is described in `records`, in whole ticks of 15 seconds. `solve` plans it, `check_plan`
checks any plan on its own, `chances` and `safe_starts` tell what becomes of it when steps take as
long as they take, `replan` goes on from what has happened, `what_would_help` tells how a day that
cannot work could. A plan is advice: the contest's rules and food safety stand above it.
"""

from teamops.calc.timing.aim import Aimed, aim, usual_target, with_targets
from teamops.calc.timing.check import Fault, Rule, check_plan
from teamops.calc.timing.clash import Clash, Short, find_clash
from teamops.calc.timing.ladder import Answer, BrokenPlanError, Method, Outcome, solve
from teamops.calc.timing.network import (
    CriticalPath,
    Float,
    Pert,
    critical_path,
    pert,
    pert_mean,
    pert_variance,
)
from teamops.calc.timing.records import (
    Block,
    Cap,
    Day,
    Edge,
    Job,
    Link,
    Person,
    Plan,
    Resource,
    Spread,
    Step,
    Window,
)
from teamops.calc.timing.relief import Change, Relief, what_would_help
from teamops.calc.timing.replan import Progress, Replanned, freeze, replan, shift
from teamops.calc.timing.slack import (
    BoxChance,
    Chances,
    GapChance,
    SafeStart,
    Weakness,
    chances,
    safe_starts,
    weaknesses,
)
from teamops.calc.timing.solver import has_solver
from teamops.calc.timing.spread import Pace, draw, learned_spread, usual_spread
from teamops.calc.timing.ticks import (
    PER_MINUTE,
    TICK_SECONDS,
    minutes_of,
    ticks_down,
    ticks_up,
)
from teamops.calc.timing.wording import (
    answer_sentence,
    box_sentence,
    chance_words,
    clash_sentence,
    fault_sentence,
    minutes_words,
    relief_sentence,
    replan_sentence,
    safe_sentence,
    weakness_sentence,
)

__all__ = [
    "PER_MINUTE",
    "TICK_SECONDS",
    "Aimed",
    "Answer",
    "Block",
    "BoxChance",
    "BrokenPlanError",
    "Cap",
    "Chances",
    "Change",
    "Clash",
    "CriticalPath",
    "Day",
    "Edge",
    "Fault",
    "Float",
    "GapChance",
    "Job",
    "Link",
    "Method",
    "Outcome",
    "Pace",
    "Person",
    "Pert",
    "Plan",
    "Progress",
    "Relief",
    "Replanned",
    "Resource",
    "Rule",
    "SafeStart",
    "Short",
    "Spread",
    "Step",
    "Weakness",
    "Window",
    "aim",
    "answer_sentence",
    "box_sentence",
    "chance_words",
    "chances",
    "check_plan",
    "clash_sentence",
    "critical_path",
    "draw",
    "fault_sentence",
    "find_clash",
    "freeze",
    "has_solver",
    "learned_spread",
    "minutes_of",
    "minutes_words",
    "pert",
    "pert_mean",
    "pert_variance",
    "relief_sentence",
    "replan",
    "replan_sentence",
    "safe_sentence",
    "safe_starts",
    "shift",
    "solve",
    "ticks_down",
    "ticks_up",
    "usual_spread",
    "usual_target",
    "weakness_sentence",
    "weaknesses",
    "what_would_help",
    "with_targets",
]
