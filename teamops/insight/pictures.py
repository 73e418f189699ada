"""Trend pictures as SVG. Only the view that draws one imports this: matplotlib takes a second."""

import warnings
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import StringIO
from threading import Lock
from typing import Any

from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator

from teamops.insight.queries.trend import NAMED_TURNS, Trend

INCH = 96.0  # CSS pixels
MOST_NAMES = 15  # contests named on the axis; of more, some
LONGEST = 18  # letters of a name
LONGEST_TURN = 44
TAIL = 6  # letters kept at the end of a name that is cut

# Figures of one process share matplotlib's fonts and settings: one is drawn at a time.
DRAWING = Lock()


@dataclass(frozen=True, slots=True)
class Theme:
    """Colours that read on the page, told apart by lightness and by shape as well."""

    ink: str
    faint: str
    mark: str
    turn: str


THEMES = {
    "light": Theme(ink="#1e2320", faint="#c9c0ae", mark="#36536c", turn="#7d5200"),
    "dark": Theme(ink="#ebe6db", faint="#4a524d", mark="#a3c6e2", turn="#e3b75f"),
}
SETTINGS: dict[Any, Any] = {
    "svg.fonttype": "none",  # words stay words: any script, in the reader's own fonts
    "svg.hashsalt": "teamops",  # the same numbers give the same bytes
    "font.family": ["sans-serif"],
    "font.sans-serif": ["Roboto", "Segoe UI", "Noto Sans", "DejaVu Sans"],
    "font.size": 9,  # 12 CSS pixels
    "text.parse_math": False,  # a name with two dollars in it is a name
}


def trend_picture(trend: Trend, theme: str) -> str:
    """One criterion's means as SVG, on nothing, for a light or a dark page.

    KeyError for another theme. The same trend gives the same text.
    """
    colours = THEMES[theme]
    width, height = trend.size
    with DRAWING, rc_context(SETTINGS), warnings.catch_warnings():
        # A letter that matplotlib's fonts lack is drawn by the reader's.
        warnings.simplefilter("ignore", UserWarning)
        figure = Figure(figsize=(width / INCH, height / INCH), layout="constrained")
        axes = figure.subplots()
        _draw_points(axes, trend, colours)
        _draw_turns(axes, trend, colours)
        _dress(axes, trend, colours)
        out = StringIO()
        figure.savefig(out, format="svg", transparent=True, metadata={"Date": None})
        return out.getvalue()


def _draw_points(axes: Axes, trend: Trend, colours: Theme) -> None:
    places = range(len(trend.points))
    means = [point.mean for point in trend.points]
    few = len(means) <= 40
    axes.plot(places, means, color=colours.mark, linewidth=0.8, alpha=0.7)
    axes.plot(places, means, "o" if few else ".", color=colours.mark, markersize=5 if few else 3)
    if len(means) >= 4:
        axes.plot(places, trend.smoothed, color=colours.ink, linewidth=2.4)


def _draw_turns(axes: Axes, trend: Trend, colours: Theme) -> None:
    """A dashed, numbered line where something changed; above them what the numbers stand for."""
    numbers: dict[float, list[str]] = {}
    for number, turn in enumerate(trend.turns, start=1):
        numbers.setdefault(turn.before - 0.5, []).append(str(number))
    for place, some in numbers.items():
        axes.axvline(place, color=colours.turn, linewidth=1.4, linestyle=(0, (4, 2)))
        axes.annotate(
            ", ".join(some),
            (place, 1),
            xycoords=("data", "axes fraction"),
            xytext=(0, 2),
            textcoords="offset points",
            ha="center",
            va="bottom",
            weight="bold",
            color=colours.turn,
        )
    names = [f"{n}  {_cut(turn.what, LONGEST_TURN)}" for n, turn in enumerate(trend.turns, 1)]
    if len(names) > NAMED_TURNS:
        names = [*names[: NAMED_TURNS - 1], f"… and {len(names) - NAMED_TURNS + 1} more"]
    if names:
        axes.set_title("\n".join(names), loc="left", fontsize=9, color=colours.turn, pad=16)


def _dress(axes: Axes, trend: Trend, colours: Theme) -> None:
    """Scale, contests by name, and nothing else."""
    low, high = trend.scale
    edge = (trend.most - trend.least) * 0.01
    axes.set_ylim(low - edge, high + edge)
    axes.set_xlim(-0.7, len(trend.points) - 0.3)
    axes.yaxis.set_major_locator(MaxNLocator(nbins=5, steps=[1, 2, 2.5, 5, 10]))
    axes.grid(axis="y", color=colours.faint, linewidth=0.6)
    axes.set_axisbelow(True)
    named = _named(len(trend.points))
    axes.set_xticks(named, cut_apart([trend.points[n].contest for n in named], LONGEST))
    axes.tick_params(colors=colours.ink, length=3)
    for label in axes.get_xticklabels():
        label.set(rotation=40, ha="right", rotation_mode="anchor")
    for side, spine in axes.spines.items():
        spine.set_visible(side in ("left", "bottom"))
        spine.set_color(colours.ink)


def _named(count: int) -> list[int]:
    """Which contests are named: all of a few; of many an even pick, the latest among them."""
    step = -(-count // MOST_NAMES) or 1
    return sorted(range(count - 1, -1, -step))


def cut_apart(names: Sequence[str], most: int) -> list[str]:
    """Names that fit, none like another's unless it is the same name.

    A name is cut in its middle, since a double's two contests differ at the end. Names that would
    then look alike show the place where they begin to differ, and failing that, a number.
    """
    cuts = {name: _cut(name, most) for name in names}
    for twins in _alike(cuts):
        first = _where_they_differ(twins)
        for name in twins:
            cuts[name] = _cut(name, most, tail=name[max(first - 1, 0) :][:TAIL])
    for twins in _alike(cuts):
        for number, name in enumerate(twins, start=1):
            tail = f"… {number}"
            cuts[name] = f"{cuts[name][: most - len(tail)].rstrip()}{tail}"
    return [cuts[name] for name in names]


def _where_they_differ(names: Sequence[str]) -> int:
    """The first place where the names are not all the same."""
    letters = enumerate(zip(*names, strict=False))
    shortest = min(map(len, names))
    return next((place for place, some in letters if len(set(some)) > 1), shortest)


def _alike(cuts: Mapping[str, str]) -> list[list[str]]:
    """Names that are cut to the same, group by group."""
    by_cut: dict[str, list[str]] = {}
    for name, cut in cuts.items():
        by_cut.setdefault(cut, []).append(name)
    return [twins for twins in by_cut.values() if len(twins) > 1]


def _cut(words: str, most: int, tail: str = "") -> str:
    """Words that fit, cut in their middle before this tail of theirs, or before their last."""
    if len(words) <= most:
        return words
    tail = tail or words[-TAIL:]
    return f"{words[: most - len(tail) - 1].rstrip()}…{tail.lstrip()}"
