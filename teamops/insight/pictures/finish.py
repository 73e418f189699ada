"""Doneness marks against the finish temperature, with the best range."""

from collections.abc import Iterator

import numpy as np
from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator
from numpy.typing import NDArray

from teamops.calc.temperature import likely_marks
from teamops.insight.pictures.house import Theme, drawn, plain_frame
from teamops.insight.queries.finish import TEN_WIDE, FinishCurve, ten_wide
from teamops.teams.models import Team

Floats = NDArray[np.float64]
SEED = 1  # the same cooks always give the same band
POINTS = 61
MOST_NAMED = 40  # cooks with their number beside; of more the dots alone are legible
SAME_X, SAME_Y = 0.035, 0.05  # parts of the picture within which two numbers share a place


def finish_picture(curve: FinishCurve, theme: str) -> str:
    """The cooks and, where the best can be told, the curve with its band, as SVG."""

    def draw(axes: Axes, colours: Theme) -> None:
        low, high = _across(curve)
        axes.set_xlim(low, high)
        _dress(axes, curve, colours)
        if curve.median is not None:
            _draw_band(axes, curve, colours)
        _draw_aim(axes, curve, colours)
        _draw_cooks(axes, curve, colours)

    return drawn(curve.size, theme, draw)


def _shown(celsius: Floats | float, units: str) -> Floats:
    value = np.asarray(celsius, dtype=np.float64)
    return value * 9 / 5 + 32 if units == Team.Units.US else value


def _across(curve: FinishCurve) -> tuple[float, float]:
    """From the coldest to the hottest that is drawn, with some room, in the team's units."""
    at = [x for _, x, _ in curve.cooks] + [curve.target_c]
    at += [x for x in (curve.low, curve.high) if x is not None]
    low, high = min(at), max(at)
    room = max((high - low) * 0.08, 0.6)
    ends = _shown(np.array([low - room, high + room]), curve.units)
    return float(ends[0]), float(ends[1])


def _draw_band(axes: Axes, curve: FinishCurve, colours: Theme) -> None:
    """The likely mark at each temperature and its band; the best range behind them."""
    low, high = axes.get_xlim()
    at = np.linspace(low, high, POINTS)
    celsius = (at - 32) * 5 / 9 if curve.units == Team.Units.US else at
    marks = [ten_wide(y, curve.least, curve.most) for _, _, y in curve.cooks]
    band = likely_marks(
        [x for _, x, _ in curve.cooks], marks, curve.target_c, celsius,
        np.random.default_rng(SEED), draws=2_000,
    )  # fmt: skip
    under, middle, over = curve.least + (band - 1) * (curve.most - curve.least) / TEN_WIDE
    axes.fill_between(at, under, np.minimum(over, curve.most), color=colours.mark, alpha=0.16, lw=0)
    axes.plot(at, np.minimum(middle, curve.most), color=colours.mark, linewidth=2)
    ends = [float(_shown(x or 0.0, curve.units)) for x in (curve.low, curve.high)]
    top = float(_shown(curve.median or 0.0, curve.units))
    foot = axes.get_ylim()[0]
    axes.plot(
        ends, [foot, foot], color=colours.ink, linewidth=7, solid_capstyle="butt", clip_on=False
    )
    axes.plot([top], [foot], "D", color=colours.ink, markersize=9, clip_on=False)
    _say(axes, (ends[0] + ends[1]) / 2, foot, "best, 8 in 10", (0, 9), colours.ink)


def _draw_aim(axes: Axes, curve: FinishCurve, colours: Theme) -> None:
    aim = float(_shown(curve.target_c, curve.units))
    axes.axvline(aim, color=colours.turn, linewidth=1.4, linestyle=(0, (4, 2)))
    axes.annotate(
        "aim" if curve.moment == "peak" else "where the aim puts it",
        (aim, 1),
        xycoords=("data", "axes fraction"),
        xytext=(0, 3),
        textcoords="offset points",
        ha="center",
        va="bottom",
        weight="bold",
        color=colours.turn,
    )


def _draw_cooks(axes: Axes, curve: FinishCurve, colours: Theme) -> None:
    at = _shown(np.array([x for _, x, _ in curve.cooks]), curve.units)
    marks = [y for _, _, y in curve.cooks]
    axes.plot(at, marks, "o", color=colours.ink, markersize=5)
    if len(marks) > MOST_NAMED:
        return
    for x, y, names in _named(curve, axes):
        _say(axes, x, y, names, (5, 4), colours.ink, "left")


def _named(curve: FinishCurve, axes: Axes) -> Iterator[tuple[float, float, str]]:
    """Where the numbers of cooks stand; those that would cover each other stand together."""
    wide, high = np.diff(axes.get_xlim())[0], np.diff(axes.get_ylim())[0]
    places: list[tuple[float, float, list[str]]] = []
    for number, celsius, y in curve.cooks:
        x = float(_shown(celsius, curve.units))
        near = [
            names
            for a, b, names in places
            if abs(a - x) < SAME_X * wide and abs(b - y) < SAME_Y * high
        ]
        if near:
            near[0].append(str(number))
        else:
            places.append((x, y, [str(number)]))
    for x, y, names in places:
        yield x, y, ", ".join(names)


def _say(
    axes: Axes,
    x: float,
    y: float,
    text: str,
    offset: tuple[int, int],
    colour: str,
    side: str = "center",
) -> None:
    axes.annotate(
        text, (x, y), xytext=offset, textcoords="offset points", ha=side, va="bottom",
        color=colour, fontsize=8.5,
    )  # fmt: skip


def _dress(axes: Axes, curve: FinishCurve, colours: Theme) -> None:
    marks = [y for _, _, y in curve.cooks]
    room = max((max(marks) - min(marks)) * 0.3, (curve.most - curve.least) * 0.06)
    axes.set_ylim(max(curve.least, min(marks) - room), min(curve.most, max(marks) + room))
    axes.yaxis.set_major_locator(MaxNLocator(nbins=6, steps=[1, 2, 2.5, 5, 10]))
    axes.xaxis.set_major_locator(MaxNLocator(nbins=7, steps=[1, 2, 5, 10]))
    axes.grid(axis="y", color=colours.faint, linewidth=0.6)
    axes.set_axisbelow(True)
    unit = "°F" if curve.units == Team.Units.US else "°C"
    axes.set_xlabel(f"{curve.moment} temperature, {unit}", color=colours.ink)
    axes.set_ylabel(f"{curve.criterion}, mean mark", color=colours.ink)
    plain_frame(axes, colours)
