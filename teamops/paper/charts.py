"""A line of dots over a numbered axis, as one piece."""

from collections.abc import Iterator
from functools import partial
from itertools import pairwise

from teamops.paper.fonts import Hand, Style
from teamops.paper.pen import FAINT, INK, STRONG, Align, Pen
from teamops.paper.pieces import Piece
from teamops.paper.sheet import Chart
from teamops.paper.text import clean

SMALL = Hand(Style.BODY, 7.5, 9.0)
HEIGHT, FOOT, LEFT = 96.0, 14.0, 34.0  # of the field, of the line of labels, of the scale's [pt]
DOT = 4.0
MOST_LABELS = 24  # under the dots; of more, an even pick


def chart_pieces(chart: Chart, x: float, width: float) -> Iterator[Piece]:
    """One piece; none where there is nothing to draw."""
    if chart.points:
        yield Piece(HEIGHT + FOOT, partial(_draw, chart, x, width))


def _draw(chart: Chart, x: float, width: float, pen: Pen, top: float) -> None:
    left, bottom = x + LEFT, top - HEIGHT
    for value, words in chart.scale:
        y = bottom + HEIGHT * _part(chart, value)
        pen.rule(left, y, x + width, y, 0.5, FAINT)
        pen.lines((clean(words),), x, LEFT - 6, y + SMALL.leading / 2, SMALL, Align.RIGHT)
    step = (width - LEFT) / len(chart.points)
    places = [
        (left + step * (n + 0.5), bottom + HEIGHT * _part(chart, value))
        for n, (_, value) in enumerate(chart.points)
    ]
    for (x1, y1), (x2, y2) in pairwise(places):
        pen.rule(x1, y1, x2, y2, 0.9, STRONG)
    for x1, y1 in places:
        pen.dot(x1, y1, DOT)
    pen.rule(left, bottom, x + width, bottom, 0.8, INK)
    every = -(-len(places) // MOST_LABELS)
    for (label, _), (x1, _y) in list(zip(chart.points, places, strict=True))[:: max(every, 1)]:
        pen.lines((clean(label),), x1 - step / 2, step, bottom - 3, SMALL, Align.CENTRE)


def _part(chart: Chart, value: float) -> float:
    """Where a value stands between the scale's ends, 0 to 1; what is beyond is drawn at the end."""
    return min(max((value - chart.low) / (chart.high - chart.low), 0.0), 1.0)
