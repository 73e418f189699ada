"""From a sheet to the bytes of its PDF."""

from collections.abc import Iterator
from dataclasses import replace
from io import BytesIO

from reportlab.pdfgen.canvas import Canvas

from teamops.paper.blocks import BLOCK_GAP, HEADING_GAP, TIGHT_GAP, block_pieces
from teamops.paper.fonts import FONT_LOCK
from teamops.paper.frame import BOTTOM, SIDE, Edges, Frame, head_piece
from teamops.paper.pen import Pen
from teamops.paper.pieces import Pages, Piece
from teamops.paper.sheet import Block, Heading, Sheet
from teamops.paper.text import clean


def render(sheet: Sheet) -> bytes:
    """The sheet as PDF, the same bytes for the same sheet.

    Where smaller gaps between the blocks save a page, they are smaller: nobody wants a second
    sheet for two lines.

    Takes any text and prints it as text. Refuses (ValueError) a page size other than letter or
    A4. Safe to call from several threads.
    """
    frame = Frame.of(sheet.page_size)
    with FONT_LOCK:
        pages = _lay(sheet, frame, BLOCK_GAP)
        if len(pages) > 1:
            tight = _lay(sheet, frame, TIGHT_GAP)
            pages = tight if len(tight) < len(pages) else pages
        return _draw(sheet, frame, pages)


def _lay(sheet: Sheet, frame: Frame, block_gap: float) -> list[list[tuple[float, Piece]]]:
    pages = Pages(frame.top, BOTTOM)
    pages.fill(_pieces(sheet, frame, block_gap))
    return pages.pages


def _pieces(sheet: Sheet, frame: Frame, block_gap: float) -> Iterator[Piece]:
    yield replace(head_piece(sheet, frame), keep=bool(sheet.blocks))
    above: Block | None = None
    for block in sheet.blocks:
        gap = HEADING_GAP if isinstance(above, Heading) else block_gap
        above = block
        for piece in block_pieces(block, SIDE, frame.width):
            yield replace(piece, gap=gap) if gap else piece
            gap = 0.0


def _draw(sheet: Sheet, frame: Frame, pages: list[list[tuple[float, Piece]]]) -> bytes:
    out = BytesIO()
    canvas = Canvas(out, pagesize=frame.size, invariant=1, pageCompression=1, lang="en")
    canvas.setTitle(clean(sheet.title).replace("\n", " "))
    canvas.setAuthor(clean(sheet.team).replace("\n", " "))
    canvas.setCreator("Teamops")
    edges = Edges.of(sheet, frame)
    for number, page in enumerate(pages, start=1):
        pen = Pen(canvas)
        for top, piece in page:
            piece.draw(pen, top)
        edges.draw(pen, number, len(pages))
        pen.finish()
    canvas.save()
    return out.getvalue()
