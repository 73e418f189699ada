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
FOOT = 0.11  # part of the height that is kept free for the best range
BESIDE_X = 0.12  # of the width that a number takes beside its dot
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
    middle, over = np.minimum(middle, curve.most), np.minimum(over, curve.most)
    axes.fill_between(at, under, over, color=colours.mark, alpha=0.16, linewidth=0)
    axes.plot(at, middle, color=colours.mark, linewidth=2)
    left = middle[0] >= middle[-1]  # the end that is higher has room above it
    place, side, step = (0, "left", 3) if left else (-1, "right", -3)
    _say(axes, at[place], over[place], "likely mark", (step, 4), colours.mark, side)
    _draw_best(axes, curve, colours)


def _draw_best(axes: Axes, curve: FinishCurve, colours: Theme) -> None:
    """The best range as a bar along the foot, its middle a diamond."""
    low, top, high = (
        float(_shown(x or 0.0, curve.units)) for x in (curve.low, curve.median, curve.high)
    )
    foot, head = axes.get_ylim()
    at = foot + FOOT / 2 * (head - foot)
    axes.plot([low, high], [at, at], color=colours.ink, linewidth=6, solid_capstyle="butt")
    axes.plot([top], [at], "D", color=colours.ink, markersize=8)
    first, last = axes.get_xlim()
    right = last - high > low - first
    place, side, step = (high, "left", 7) if right else (low, "right", -7)
    _say(axes, place, at, "best finish, 8 in 10", (step, -4), colours.ink, side)


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
    for x, y, names, side in _named(curve, axes):
        _say(axes, x, y, names, (5 if side == "left" else -5, 1), colours.ink, side)


def _named(curve: FinishCurve, axes: Axes) -> Iterator[tuple[float, float, str, str]]:
    """Where the numbers of cooks stand; those that would cover each other stand together.

    On the right of their dot, unless another dot is there.
    """
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
        crowded = any(
            0 < a - x < BESIDE_X * wide and abs(b - y) < SAME_Y * 1.5 * high for a, b, _ in places
        )
        yield x, y, ", ".join(names), "right" if crowded else "left"


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
    low, high = max(curve.least, min(marks) - room), min(curve.most, max(marks) + room)
    axes.set_ylim(low - FOOT * (high - low), high + 0.02 * (high - low))
    axes.yaxis.set_major_locator(MaxNLocator(nbins=6, steps=[1, 2, 2.5, 5, 10]))
    axes.xaxis.set_major_locator(MaxNLocator(nbins=7, steps=[1, 2, 5, 10]))
    axes.grid(axis="y", color=colours.faint, linewidth=0.6)
    axes.set_axisbelow(True)
    unit = "°F" if curve.units == Team.Units.US else "°C"
    axes.set_xlabel(f"{curve.moment} temperature, {unit}", color=colours.ink)
    axes.set_ylabel(f"{curve.criterion}, mean mark", color=colours.ink)
    plain_frame(axes, colours)
