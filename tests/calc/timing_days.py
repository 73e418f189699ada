"""Days to plan: the 14-step demo entry, and small ones."""

import json
from pathlib import Path

from teamops.calc.timing.records import (
    Cap,
    Day,
    Edge,
    Job,
    Link,
    Person,
    Resource,
    Spread,
    Step,
    Window,
)
from teamops.calc.timing.ticks import ticks_down, ticks_up

DATA = Path(__file__).resolve().parent.parent / "data"
PEOPLE = ("ana", "ben", "cam", "dee")
# name, planned minutes, (shortest, usual, longest), hands, grill places, least and most gap to next
DEMO = (
    ("trim", 6, (4, 6, 10), 1, 0, 0, None),
    ("tie", 3, (2, 3, 5), 1, 0, 0, None),
    ("marinate", 5, (5, 5, 5), 0, 0, 0, 2),
    ("dry", 1, (0.5, 1, 2), 1, 0, 0, 5),
    ("season", 3, (2, 3, 5), 1, 0, 0, 0),
    ("temper", 30, (20, 20, 20), 0, 0, 0, 30),
    ("sear 1", 1.5, (1.5, 1.5, 1.6), 1, 1, 0, 0.25),
    ("sear 2", 1.5, (1.5, 1.5, 1.6), 1, 1, 0, 0.25),
    ("sear 3", 1.5, (1.5, 1.5, 1.6), 1, 1, 0, 0.25),
    ("sear 4", 1.5, (1.5, 1.5, 1.75), 1, 1, 0, 0),
    ("rest", 5, (5, 5, 5), 0, 0, 0, 2),
    ("finish", 1.5, (1, 1.5, 3), 1, 0, 0, 1),
    ("box", 3, (2, 3, 6), 1, 0, 0, 3),
    ("walk", 2, (1.5, 2, 5), 1, 0, 0, None),
)


def demo_job(
    key: str, closes: float, *, before_close: float = 0, width: float = 10, rack: bool = False,
    same_cook: bool = False,
) -> Job:  # fmt: skip
    """One demo entry, its window's close in minutes; `rack` adds the 6-9 minutes after the rest."""
    steps = tuple(
        Step(
            f"{key} {name}",
            name,
            ticks_up(plan),
            hands,
            same_cook=key if same_cook and name.startswith("sear") else "",
            uses=(("grill", grill),) if grill else (),
            spread=Spread(*three),
            least=ticks_up(20) if name == "temper" else None,
        )
        for name, plan, three, hands, grill, _, _ in DEMO
    )
    names = [name for name, *_ in DEMO]
    links = tuple(
        Link(
            f"{key} {a}", f"{key} {b}", ticks_up(least), None if most is None else ticks_down(most)
        )
        for (a, *_, least, most), b in zip(DEMO, names[1:], strict=False)
    )
    caps = [Cap("time out of the cold", f"{key} trim", f"{key} sear 1", most=ticks_down(120))]
    if rack:
        ends = {"first_edge": Edge.END, "then_edge": Edge.END}
        caps.append(Cap("rack", f"{key} rest", f"{key} walk", ticks_up(6), ticks_down(9), **ends))
    window = Window(ticks_up(closes - width), ticks_down(closes), ticks_down(closes - before_close))
    return Job(key, f"Box {key}", steps, links, tuple(caps), window)


def demo_day(
    entries: int, people: int, apart: float, *, first_close: float = 240, capacity: int = 2,
    before_close: float = 0, rack: bool = False, same_cook: bool = False,
) -> Day:  # fmt: skip
    """So many demo entries whose windows close so many minutes apart, from tick 0 on."""
    jobs = tuple(
        demo_job(
            "ABCDEFGHIJKL"[i],
            first_close + apart * i,
            before_close=before_close,
            rack=rack,
            same_cook=same_cook,
        )
        for i in range(entries)
    )
    cooks = tuple(Person(name, name.title()) for name in PEOPLE[:people])
    return Day(0, jobs, cooks, (Resource("grill", "the grill", capacity),))


def published(name: str, horizon: int = 160) -> tuple[Day, dict]:
    """A published project as one job that must end by `horizon`, and its file."""
    file = json.loads((DATA / "timing" / f"{name}.json").read_text())
    steps = tuple(
        Step(
            key,
            key,
            length,
            uses=tuple((f"r{k}", n) for k, n in enumerate(file["demand"][key]) if n),
        )
        for key, length in file["duration"].items()
    )
    caps = tuple(
        Cap("lag", str(a), str(b), least=d) if d >= 0 else Cap("lag", str(b), str(a), most=-d)
        for a, b, d in file["lags"]
    )
    grills = tuple(Resource(f"r{k}", f"r{k}", n) for k, n in enumerate(file["capacities"]))
    job = Job(name, name, steps, (), caps, Window(0, horizon, horizon))
    return Day(0, (job,), (), grills), file
