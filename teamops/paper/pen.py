"""What draws on one page: words, rules, boxes and small bars, in black and greys."""

from enum import Enum
from math import ceil

from reportlab.pdfgen.canvas import Canvas

from teamops.paper.fonts import Hand

INK, STRONG, FAINT = 0.0, 0.35, 0.72  # grey levels: words, frames, ledger lines
SHADE = 0.82  # what a plain bar is filled with
TICK_SIDE = 9.0  # [pt]


class Align(Enum):
    """Where words stand between the two sides of their cell."""

    LEFT = 0.0
    CENTRE = 0.5
    RIGHT = 1.0


class Pen:
    """Draws on the canvas's current page; `finish` ends it.

    Places are points from the lower left corner. Words are clean and in drawing order.
    """

    def __init__(self, canvas: Canvas) -> None:
        self.canvas = canvas
        self._words = canvas.beginText()
        self._hand: Hand | None = None

    def words(self, text: str, x: float, y: float, hand: Hand) -> None:
        """One line with its baseline's left end at (x, y)."""
        if not text:
            return
        if hand != self._hand:
            self._words.setFont(hand.style.face.name, hand.size)
            self._hand = hand
        self._words.setTextOrigin(x, y)
        self._words.textLine(text)

    def lines(
        self,
        lines: tuple[str, ...],
        x: float,
        width: float,
        top: float,
        hand: Hand,
        align: Align = Align.LEFT,
    ) -> None:
        """Lines below each other."""
        y = top - (hand.leading + 0.7 * hand.size) / 2  # capitals stand in the middle of their line
        for line in lines:
            slack = 0.0
            if align is not Align.LEFT:
                slack = width - hand.width(line)
            self.words(line, x + slack * align.value, y, hand)
            y -= hand.leading

    def rule(self, x: float, y: float, x2: float, y2: float, weight: float, grey: float) -> None:
        """A straight line `weight` points thick."""
        self.canvas.setLineWidth(weight)
        self.canvas.setStrokeGray(grey)
        self.canvas.line(x, y, x2, y2)

    def tick_box(self, x: float, top: float, *, ticked: bool) -> None:
        """A box to tick, or one that comes ticked."""
        side, canvas = TICK_SIDE, self.canvas
        canvas.setLineWidth(0.9)
        canvas.setStrokeGray(INK)
        canvas.rect(x, top - side, side, side)
        if ticked:
            tick = canvas.beginPath()
            tick.moveTo(x + 0.18 * side, top - 0.52 * side)
            tick.lineTo(x + 0.42 * side, top - 0.78 * side)
            tick.lineTo(x + 0.86 * side, top - 0.18 * side)
            canvas.setLineWidth(1.4)
            canvas.drawPath(tick)

    def bar(self, x: float, y: float, width: float, height: float, *, strong: bool) -> None:
        """A filled bar: grey, or hatched if strong."""
        canvas = self.canvas
        canvas.setLineWidth(0.6)
        canvas.setStrokeGray(INK if strong else STRONG)
        canvas.setFillGray(1 if strong else SHADE)
        canvas.rect(x, y, width, height, stroke=1, fill=1)
        if strong:
            self._hatch(x, y, width, height)

    def _hatch(self, x: float, y: float, width: float, height: float) -> None:
        canvas, step = self.canvas, 2.6
        canvas.saveState()
        edge, strokes = canvas.beginPath(), canvas.beginPath()
        edge.rect(x, y, width, height)
        canvas.clipPath(edge, stroke=0, fill=0)
        for count in range(ceil((width + height) / step)):
            start = x - height + count * step
            strokes.moveTo(start, y)
            strokes.lineTo(start + height, y + height)
        canvas.setLineWidth(0.9)
        canvas.drawPath(strokes)
        canvas.restoreState()

    def dot(self, x: float, y: float, size: float) -> None:
        """A filled dot about its middle."""
        self.canvas.setFillGray(INK)
        self.canvas.circle(x, y, size / 2, stroke=0, fill=1)

    def whisker(self, x: float, x2: float, y: float) -> None:
        """A range: a line with two ends, readable over any bar."""
        for weight, grey in ((2.8, 1.0), (1.2, INK)):
            self.rule(x, y, x2, y, weight, grey)
            for end in (x, x2):
                self.rule(end, y - 2.2, end, y + 2.2, weight, grey)

    def finish(self) -> None:
        """Write the words over the drawing and close the page."""
        self.canvas.setFillGray(INK)
        self.canvas.drawText(self._words)
        self.canvas.showPage()
