"""What a change did, as intervals around a line of no change."""

from matplotlib.axes import Axes
from matplotlib.ticker import FuncFormatter, MaxNLocator

from teamops.insight.pictures.house import Theme, drawn, plain_frame
from teamops.insight.pictures.names import cut_apart
from teamops.insight.queries.changes_picture import EffectPicture, Interval

LONGEST = 18  # letters of a name
SMALL = 8


def change_picture(picture: EffectPicture, theme: str) -> str:
    """The differences with their ranges as SVG; see `house.drawn`."""

    def draw(axes: Axes, colours: Theme) -> None:
        for place, row in enumerate(picture.rows):
            _draw(axes, place, row, colours)
        _explain(axes, colours)
        _dress(axes, picture, colours)

    return drawn(picture.size, theme, draw)


def _draw(axes: Axes, place: int, row: Interval, colours: Theme) -> None:
    """A thin line for 95 %, a thick one for 80 %, a dot for the difference itself."""
    axes.hlines(place, *row.wide, color=colours.mark, linewidth=1.4)
    axes.hlines(place, *row.likely, color=colours.mark, linewidth=6, capstyle="butt")
    axes.plot(row.change, place, "o", color=colours.ink, markersize=6)


def _explain(axes: Axes, colours: Theme) -> None:
    """What the lines mean, above them all."""
    axes.annotate(
        "dot: difference · thick: 80 % range · thin: 95 % range",
        (1, 1),
        xycoords="axes fraction",
        xytext=(0, 18),
        textcoords="offset points",
        ha="right",
        va="bottom",
        fontsize=SMALL,
        color=colours.ink,
    )


def _dress(axes: Axes, picture: EffectPicture, colours: Theme) -> None:
    """Names on the left, the line of no change, which way is which, and the unit."""
    count = len(picture.rows)
    ends = [end for row in picture.rows for end in row.wide]
    furthest = max(max(map(abs, ends)) * 1.06, 1e-6)
    axes.set_xlim(-furthest, furthest)
    axes.set_ylim(count - 0.5, -0.5)
    axes.axvline(0, color=colours.turn, linewidth=1.4, linestyle=(0, (4, 2)))
    for side, words in ((-1, "← lower"), (0, "no change"), (1, "higher →")):
        axes.annotate(
            words,
            (0.5 + side / 2, 1),
            xycoords="axes fraction",
            xytext=(0, 4),
            textcoords="offset points",
            ha={-1: "left", 0: "center", 1: "right"}[side],
            va="bottom",
            fontsize=SMALL,
            color=colours.turn if side == 0 else colours.ink,
        )
    axes.xaxis.set_major_locator(MaxNLocator(nbins=5, steps=[1, 2, 2.5, 5, 10]))
    axes.xaxis.set_major_formatter(FuncFormatter(_signed))
    axes.grid(axis="x", color=colours.faint, linewidth=0.6)
    axes.set_axisbelow(True)
    axes.set_xlabel(picture.unit, color=colours.ink)
    axes.set_yticks(range(count), cut_apart([row.name for row in picture.rows], LONGEST))
    plain_frame(axes, colours)
    axes.get_yticklabels()[0].set_fontweight("bold")


def _signed(value: float, place: int | None = None) -> str:
    text = f"{value:+g}".replace("-", "−")
    return "0" if value == 0 else text
