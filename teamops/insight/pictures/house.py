"""The house style of every picture: colours, letters, and one way to draw."""

import warnings
from collections.abc import Callable
from dataclasses import dataclass
from io import StringIO
from threading import Lock
from typing import Any

from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.figure import Figure

INCH = 96.0  # CSS pixels

# Figures of one process share matplotlib's fonts and settings: one is drawn at a time.
DRAWING = Lock()


@dataclass(frozen=True, slots=True)
class Theme:
    """Colours that read on the page, told apart by lightness and by shape as well."""

    ink: str
    faint: str
    mark: str
    turn: str
    paper: str  # what lies behind, for a shape that must cover a line


THEMES = {
    "light": Theme(ink="#1e2320", faint="#c9c0ae", mark="#36536c", turn="#7d5200", paper="#fffdf9"),
    "dark": Theme(ink="#ebe6db", faint="#4a524d", mark="#a3c6e2", turn="#e3b75f", paper="#1e2321"),
}
SETTINGS: dict[Any, Any] = {
    "svg.fonttype": "none",  # words stay words: any script, in the reader's own fonts
    "svg.hashsalt": "teamops",  # the same numbers give the same bytes
    "font.family": ["sans-serif"],
    "font.sans-serif": ["Roboto", "Segoe UI", "Noto Sans", "DejaVu Sans"],
    "font.size": 9,  # 12 CSS pixels
    "text.parse_math": False,  # a name with two dollars in it is a name
}


def drawn(size: tuple[int, int], theme: str, draw: Callable[[Axes, Theme], None]) -> str:
    """
    What `draw` puts on the axes as SVG, on nothing, for a light or a dark page.

    `size` is width and height in CSS pixels. KeyError for another theme. The same numbers give the
    same text.
    """
    colours = THEMES[theme]
    width, height = size
    with DRAWING, rc_context(SETTINGS), warnings.catch_warnings():
        # A letter that matplotlib's fonts lack is drawn by the reader's.
        warnings.simplefilter("ignore", UserWarning)
        figure = Figure(figsize=(width / INCH, height / INCH), layout="constrained")
        draw(figure.subplots(), colours)
        out = StringIO()
        figure.savefig(out, format="svg", transparent=True, metadata={"Date": None})
        return out.getvalue()


def plain_frame(axes: Axes, colours: Theme) -> None:
    """A line on the left and below, and nothing else."""
    axes.tick_params(colors=colours.ink, length=3)
    for side, spine in axes.spines.items():
        spine.set_visible(side in ("left", "bottom"))
        spine.set_color(colours.ink)
