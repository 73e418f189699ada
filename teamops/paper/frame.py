"""Around the blocks: the head of the first page, the running head, the foot."""

from dataclasses import dataclass
from functools import partial

from reportlab.lib.pagesizes import A4, LETTER

from teamops.paper.fonts import Hand, Style
from teamops.paper.pen import FAINT, INK, STRONG, Align, Pen
from teamops.paper.pieces import Piece
from teamops.paper.qr import draw_qr, qr_runs
from teamops.paper.sheet import PageSize, Sheet
from teamops.paper.text import clean, one_line, wrap

SIDE, TOP, BOTTOM = 46.0, 46.0, 54.0  # margins [pt]
QR_SIDE, STUB = 68.0, 92.0  # 2.4 cm, and the stub it stands on
TEAM = Hand(Style.BOLD, 9.0, 12.0)
TITLE = Hand(Style.HEAD, 18.0, 25.0)
SUBTITLE = Hand(Style.BODY, 9.0, 12.5)
SMALL = Hand(Style.BODY, 7.5, 10.0)
MOST_TEAM, MOST_TITLE, MOST_SUBTITLE = 2, 4, 12  # lines

Line = tuple[str, Hand]


@dataclass(frozen=True, slots=True)
class Frame:
    """Where words may stand on this paper, in points."""

    size: tuple[float, float]

    @classmethod
    def of(cls, page_size: PageSize) -> "Frame":
        """The frame of a paper; ValueError for one we do not print on."""
        return cls(LETTER if PageSize(page_size) is PageSize.LETTER else A4)

    @property
    def width(self) -> float:
        return self.size[0] - 2 * SIDE

    @property
    def top(self) -> float:
        return self.size[1] - TOP


def head_piece(sheet: Sheet, frame: Frame) -> Piece:
    """Team, title and subtitle over a heavy rule, with the link's QR code on a stub."""
    link = sheet.link if sheet.link and qr_runs(sheet.link)[0] else ""
    width = frame.width - (STUB + 12 if link else 0)
    lines = _lines(sheet.team, TEAM, width, MOST_TEAM)
    lines += _lines(sheet.title, TITLE, width, MOST_TITLE)
    lines += _lines("\n".join(sheet.subtitle), SUBTITLE, width, MOST_SUBTITLE)
    height = sum(hand.leading for _, hand in lines) + 10
    if link:
        height = max(height, QR_SIDE + _quiet(link) + SMALL.leading + 8)
    return Piece(height, partial(_draw_head, lines, link, frame, height))


def _lines(text: str, hand: Hand, width: float, most: int) -> list[Line]:
    text = clean(text)
    hand = hand.fitting(text)
    return [(line, hand) for line in wrap(text, hand, width, most=most)] if text else []


def _quiet(link: str) -> float:
    """The 4 modules around a QR code that ISO/IEC 18004 keeps clear, in points."""
    return 4 * QR_SIDE / qr_runs(link)[0]


def _draw_head(
    lines: list[Line], link: str, frame: Frame, height: float, pen: Pen, top: float
) -> None:
    y = top
    for line, hand in lines:
        pen.lines((line,), SIDE, frame.width, y, hand)
        y -= hand.leading
    right, bottom = SIDE + frame.width, top - height
    if link:
        draw_qr(pen.canvas, link, right - QR_SIDE, top, QR_SIDE)
        below = top - QR_SIDE - _quiet(link)
        pen.lines(("live page",), right - QR_SIDE, QR_SIDE, below, SMALL, Align.CENTRE)
        pen.canvas.setDash(3, 3)
        pen.rule(right - STUB, top, right - STUB, bottom + 8, 0.9, STRONG)
        pen.canvas.setDash()
    pen.rule(SIDE, bottom, right, bottom, 1.6, INK)


@dataclass(frozen=True, slots=True)
class Edges:
    """What stands above and below the blocks of every page, set once."""

    frame: Frame
    title: str
    team: str
    printed: str
    address: str

    @classmethod
    def of(cls, sheet: Sheet, frame: Frame) -> "Edges":
        """The edges of this sheet, each cut to its place."""
        address = sheet.link.removeprefix("https://").removeprefix("http://")
        said = (sheet.title, 0.6), (sheet.team, 0.35), (sheet.printed_on, 0.8), (address, 1.0)
        return cls(
            frame, *(one_line(clean(text), SMALL, part * frame.width) for text, part in said)
        )

    def draw(self, pen: Pen, page: int, pages: int) -> None:
        """The running head from the second page on, and the foot with its page x of y."""
        right = SIDE + self.frame.width
        if page > 1:
            y = self.frame.top + 8
            pen.words(self.title, SIDE, y + 4, SMALL)
            pen.words(self.team, right - SMALL.width(self.team), y + 4, SMALL)
            pen.rule(SIDE, y, right, y, 0.5, FAINT)
        pen.rule(SIDE, BOTTOM - 12, right, BOTTOM - 12, 0.5, FAINT)
        count = f"page {page} of {pages}"
        pen.words(self.printed, SIDE, BOTTOM - 23, SMALL)
        pen.words(count, right - SMALL.width(count), BOTTOM - 23, SMALL)
        pen.words(self.address, SIDE, BOTTOM - 34, SMALL)
