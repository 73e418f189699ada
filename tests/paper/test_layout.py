from hypothesis import given
from hypothesis import strategies as st

from teamops.paper import Bar, Column, Group, Kind, Table
from teamops.paper.columns import BARS, PAD, STRONG_CELL, place
from teamops.paper.pieces import Pages, Piece

WIDTH = 520.0


def slots_of(columns, *rows, grid=False):
    table = Table(columns, (Group(rows),), grid=grid)
    return place(table, table.all_rows(), 0.0, WIDTH)


def test_numbers_take_what_they_need_and_text_the_rest():
    text, number = slots_of((Column("What"), Column("n", Kind.NUMBER)), ("Tongs", "12.5"))
    assert STRONG_CELL.width("12.5") <= number.width < 30
    assert text.width + number.width + 4 * PAD == WIDTH


def test_the_neediest_text_gets_what_others_leave():
    row = ("Oda", "A task that goes on " * 9)
    who, task = slots_of((Column("Who", share=5), Column("Task")), row)
    assert who.width < 40
    assert task.width > 400


def test_what_nobody_needs_is_shared_out():
    what, remark = slots_of((Column("What", share=3), Column("Remark")), ("Tongs", ""))
    assert what.width > 2 * remark.width > 200


def test_shares_decide_between_two_long_texts():
    row = ("word " * 90, "word " * 90)
    wide, narrow = slots_of((Column("a", share=3), Column("b")), row)
    assert wide.width + 2 * PAD == 3 * (narrow.width + 2 * PAD)


def test_a_score_sheets_numbers_stand_in_columns_alike():
    columns = (Column("Judge"), *(Column(c, Kind.NUMBER) for c in ("Taste", "Appearance", "x")))
    _, *numbers = slots_of(columns, ("Judge 1", "9", "9", "9"), grid=True)
    assert len({slot.width for slot in numbers}) == 1


def test_bars_share_the_room_that_is_left():
    _, bar = slots_of((Column("Criterion"), Column("lost", Kind.BAR)), ("Taste", Bar(0.5)))
    assert bar.width + 2 * PAD == BARS * WIDTH


@given(
    st.lists(
        st.tuples(st.sampled_from(Kind), st.floats(0.1, 9), st.text("wi ", max_size=90)),
        min_size=1,
        max_size=30,
    ),
    st.booleans(),
)
def test_columns_always_fill_the_width_and_never_overlap(columns, grid):
    table_columns = tuple(Column("label", kind, share) for kind, share, _ in columns)
    slots = slots_of(table_columns, tuple(text for *_, text in columns), grid=grid)
    edge = 0.0
    for slot in slots:
        assert slot.x >= edge - 1e-6
        edge = slot.x
    assert slots[-1].x + slots[-1].width <= WIDTH + 2 * PAD


def _piece(height, keep=False, gap=0.0, again=()):
    return Piece(height, lambda *_: None, gap, keep, again)


@given(st.lists(st.tuples(st.floats(1, 90), st.booleans(), st.floats(0, 12)), max_size=60))
def test_every_piece_lands_once_in_order_on_its_page(sizes):
    label = _piece(8.0)
    pieces = [_piece(height, keep, gap, (label,)) for height, keep, gap in sizes]
    pages = Pages(500.0, 100.0)
    pages.fill(pieces)
    placed = [piece for page in pages.pages for _, piece in page if piece is not label]
    assert list(map(id, placed)) == list(map(id, pieces))
    for page in pages.pages:
        edge = 500.0
        for top, piece in page:
            assert top <= edge + 1e-9
            edge = top - piece.height
            assert edge >= 100.0 - 1e-9


def test_a_kept_run_moves_whole_and_repeats_the_labels_once():
    label = _piece(10.0)
    pieces = [_piece(70.0), _piece(20.0, keep=True, again=(label,)), _piece(20.0, again=(label,))]
    pages = Pages(100.0, 0.0)
    pages.fill(pieces)
    assert [[piece for _, piece in page] for page in pages.pages] == [
        [pieces[0]],
        [label, pieces[1], pieces[2]],
    ]


def test_labels_taller_than_the_room_are_not_repeated():
    label = _piece(95.0)
    pages = Pages(100.0, 0.0)
    pages.fill([_piece(60.0), _piece(60.0, again=(label,))])
    assert [len(page) for page in pages.pages] == [1, 1]
