"""An entry's marks by judge and criterion: a row a criterion, a numbered dot a judge."""

from matplotlib.axes import Axes

from teamops.insight.pictures.house import Theme, drawn
from teamops.insight.queries.marks import FOOT, LEFT, LEVEL, NAME, RIGHT, MarkRow, MarksPicture


def draw_marks(marks: MarksPicture, theme: str) -> str:
    """Every mark as SVG, a CSS pixel a unit; see `house.drawn`."""
    width, height = marks.size

    def draw(axes: Axes, colours: Theme) -> None:
        axes.set_position((0, 0, 1, 1))
        axes.set_xlim(0, width)
        axes.set_ylim(height, 0)
        axes.axis("off")
        foot = height - FOOT + 4
        for place, mark in marks.ticks:
            axes.plot([place] * 2, [0, foot], color=colours.faint, linewidth=0.6, zorder=0)
            axes.text(place, foot + 3, mark, ha="center", va="top", color=colours.ink)
        axes.plot([LEFT, RIGHT], [foot] * 2, color=colours.ink, linewidth=0.8)
        top = 0
        for row in marks.rows:
            _draw_row(axes, row, top, colours)
            top += NAME + LEVEL * row.levels
        note = "a number is a judge; | the mean; ( ) does not count"
        axes.text(LEFT, height - 2, note, ha="left", va="bottom", color=colours.ink, fontsize=8)

    return drawn(marks.size, theme, draw)


def _draw_row(axes: Axes, row: MarkRow, top: float, colours: Theme) -> None:
    base = top + NAME + LEVEL * (row.levels - 0.5)
    axes.text(LEFT, top + 6, row.words, ha="left", va="top", color=colours.ink, weight="bold")
    axes.plot([row.mean] * 2, [top + NAME - 3, base + 9], color=colours.turn, linewidth=2, zorder=1)
    for dot in row.dots:
        y = base - LEVEL * dot.level
        if dot.counts:
            axes.plot([dot.x], [y], "o", markersize=11.5, mfc=colours.paper, mec=colours.mark)
        words = dot.judge if dot.counts else f"({dot.judge})"
        axes.text(
            dot.x, y, words, ha="center", va="center_baseline", color=colours.ink, fontsize=8.5
        )
