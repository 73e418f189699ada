"""The placing curve of one contest: place against extra points, ours and the move marked."""

from matplotlib.axes import Axes
from matplotlib.ticker import FuncFormatter, MaxNLocator

from teamops.calc.placing import signed, where_words
from teamops.calc.words import ordinal
from teamops.insight.pictures.house import Theme, drawn, plain_frame
from teamops.insight.queries.placing.curve import Curve


def curve_picture(curve: Curve, theme: str) -> str:
    """The curve as SVG; see `house.drawn`."""

    def draw(axes: Axes, colours: Theme) -> None:
        end = _draw_steps(axes, curve, colours)
        _draw_ours(axes, curve, colours, end)
        _dress(axes, curve, colours, end)

    return drawn(curve.size, theme, draw)


def _draw_steps(axes: Axes, curve: Curve, colours: Theme) -> float:
    """The place that each gain makes, as a stair; where it is drawn to, in points."""
    climbs = sorted((float(points), place) for place, points in curve.steps)
    farthest = max(climbs[-1][0], float(curve.moved[0]) if curve.moved else 0.0)
    end = farthest * 1.12
    gains, places = [0.0], [float(curve.place.first)]
    for points, place in climbs:
        gains.append(points)
        places.append(float(place))
    axes.step([*gains, end], [*places, places[-1]], where="post", color=colours.mark, linewidth=2)
    axes.plot(gains[1:], places[1:], ".", color=colours.mark, markersize=5)
    return end


def _draw_ours(axes: Axes, curve: Curve, colours: Theme, end: float) -> None:
    """Where we stood, and where the move would have put us."""
    _name(
        axes, 0.0, curve.place.first, f"ours, {ordinal(curve.place.first)}", "o", colours.ink, end
    )
    if curve.moved:
        gain, where = curve.moved
        words = f"{signed(gain)}: {where_words(where)}"
        _name(axes, float(gain), where.first, words, "D", colours.turn, end)


def _name(
    axes: Axes, gain: float, place: int, words: str, shape: str, colour: str, end: float
) -> None:
    axes.plot([gain], [place], shape, color=colour, markersize=8, zorder=3)
    right = gain < end * 0.6
    axes.annotate(
        words,
        (gain, place),
        xytext=(9 if right else -9, 9),
        textcoords="offset points",
        ha="left" if right else "right",
        va="bottom",
        weight="bold",
        color=colour,
    )


def _dress(axes: Axes, curve: Curve, colours: Theme, end: float) -> None:
    """First place on top, points to the right, and nothing else."""
    lowest = curve.place.first
    axes.set_ylim(lowest + 0.8, 1 - max(0.5, (lowest - 1) * 0.12))
    axes.set_xlim(-end * 0.04, end)
    axes.yaxis.set_major_locator(MaxNLocator(nbins=7, integer=True, min_n_ticks=1))
    axes.yaxis.set_major_formatter(FuncFormatter(_place))
    axes.xaxis.set_major_locator(MaxNLocator(nbins=6, steps=[1, 2, 2.5, 5, 10]))
    axes.xaxis.set_major_formatter(FuncFormatter(_gain))
    axes.grid(axis="y", color=colours.faint, linewidth=0.6)
    axes.set_axisbelow(True)
    axes.set_xlabel("extra points", color=colours.ink)
    axes.set_title(f"Place of {curve.entries}", loc="left", fontsize=9, color=colours.ink)
    plain_frame(axes, colours)


def _place(value: float, _: int | None) -> str:
    return ordinal(round(value)) if value >= 1 and abs(value - round(value)) < 0.01 else ""


def _gain(value: float, _: int | None) -> str:
    return f"{value:+g}".replace("-", "−") if value else "0"
