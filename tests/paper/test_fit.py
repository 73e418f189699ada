"""No second page for two lines, and nothing squeezed that gains nothing by it."""

import pytest

from teamops.paper import Heading, Note, PageSize, Sheet, render
from teamops.paper.blocks import BLOCK_GAP, TIGHT_GAP, block_pieces
from teamops.paper.frame import BOTTOM, SIDE, Frame, head_piece
from tests.paper.papers import pages_of


def sheet_of(notes: int, page_size: PageSize = PageSize.LETTER) -> Sheet:
    blocks = tuple(Note(f"Note {number}") for number in range(notes))
    return Sheet(title="Score report", team="Oak and Ash", blocks=blocks, page_size=page_size)


def room(page_size: PageSize, gap: float) -> int:
    """How many notes stand on one page with this gap, from their own heights."""
    frame = Frame.of(page_size)
    (note,) = block_pieces(Note("Note"), SIDE, frame.width)
    left = frame.top - BOTTOM - head_piece(sheet_of(1, page_size), frame).height
    return int(left // (note.height + gap))


@pytest.mark.parametrize("page_size", list(PageSize))
def test_a_page_is_saved_where_smaller_gaps_save_it(page_size):
    wide, tight = room(page_size, BLOCK_GAP), room(page_size, TIGHT_GAP)
    assert tight > wide
    for notes, pages in ((wide, 1), (wide + 1, 1), (tight, 1), (tight + 1, 2)):
        assert len(pages_of(render(sheet_of(notes, page_size)))) == pages, notes


def test_a_heading_goes_with_what_it_heads_onto_the_saved_page():
    sheet = sheet_of(room(PageSize.LETTER, BLOCK_GAP) - 1)
    blocks = (*sheet.blocks, Heading("Notes"), Note("Told the organiser on Monday."))
    (page,) = pages_of(render(Sheet(title=sheet.title, team=sheet.team, blocks=blocks)))
    assert page.index("Notes") < page.index("Told the organiser on Monday.")
