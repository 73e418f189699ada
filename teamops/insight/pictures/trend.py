"""One criterion from contest to contest."""

from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator

from teamops.insight.pictures.house import Theme, drawn, plain_frame
from teamops.insight.pictures.names import cut, cut_apart
from teamops.insight.queries.trend import NAMED_TURNS, Trend

MOST_NAMES = 15  # contests named on the axis; of more, some
LONGEST = 18  # letters of a name
LONGEST_TURN = 44


def trend_picture(trend: Trend, theme: str) -> str:
    """One criterion's means as SVG; see `house.drawn`."""

    def draw(axes: Axes, colours: Theme) -> None:
        _draw_points(axes, trend, colours)
        _draw_turns(axes, trend, colours)
        _dress(axes, trend, colours)

    return drawn(trend.size, theme, draw)


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
    names = [f"{n}  {cut(turn.what, LONGEST_TURN)}" for n, turn in enumerate(trend.turns, 1)]
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
    plain_frame(axes, colours)
    for label in axes.get_xticklabels():
        label.set(rotation=40, ha="right", rotation_mode="anchor")


def _named(count: int) -> list[int]:
    """Which contests are named: all of a few; of many an even pick, the latest among them."""
    step = -(-count // MOST_NAMES) or 1
    return sorted(range(count - 1, -1, -step))
