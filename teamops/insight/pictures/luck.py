"""The shares of the swing as bars with their ranges."""

from matplotlib.axes import Axes

from teamops.insight.pictures.house import Theme, drawn, plain_frame
from teamops.insight.queries.luck import Luck

SIZE = (360, 190)  # CSS pixels: a phone's page, whole


def luck_picture(luck: Luck, theme: str) -> str:
    """A bar a share with its name and percent, and a line for its likely range, as SVG."""

    def draw(axes: Axes, colours: Theme) -> None:
        if not luck.parts:
            axes.text(0, 0, "Too few contests to tell", va="center", ha="left", color=colours.ink)
        for place, part in enumerate(luck.parts):
            axes.barh(place, part.percent, height=0.42, color=colours.mark, alpha=0.55)
            axes.plot([part.low, part.high], [place] * 2, color=colours.ink, linewidth=1.6)
            for end in (part.low, part.high):
                axes.plot([end] * 2, [place - 0.13, place + 0.13], color=colours.ink, linewidth=1.6)
            words = f"{part.name}: {part.percent} %  ({part.low} to {part.high} %)"
            axes.text(0, place - 0.33, words, va="bottom", ha="left", color=colours.ink)
        axes.set_ylim(max(len(luck.parts), 1) - 0.6, -0.9)
        axes.set_xlim(0, 100)
        axes.set_yticks([])
        axes.set_xticks([0, 25, 50, 75, 100], ["0 %", "25 %", "50 %", "75 %", "100 %"])
        axes.grid(axis="x", color=colours.faint, linewidth=0.6)
        axes.set_axisbelow(True)
        plain_frame(axes, colours)

    return drawn(SIZE, theme, draw)
