from io import BytesIO

import pytest
from pypdf import PdfReader
from qrcode import QRCode
from qrcode.constants import ERROR_CORRECT_M

from teamops.paper import PageSize, render
from teamops.paper.fonts import Style
from teamops.paper.frame import QR_SIDE, SIDE, SMALL, STUB, TOP, Frame, head_piece
from teamops.paper.qr import LARGEST_VERSION, qr_runs
from tests.paper.papers import LINK, packing_list, pages_of

LINKS = [LINK, "http://127.0.0.1:8000/t/oak/", "https://cook.example.org/t/öak/刀/"]


def matrix_of(link):
    code = QRCode(error_correction=ERROR_CORRECT_M, border=0)
    code.add_data(link.encode())
    code.make(fit=True)
    return [[bool(module) for module in row] for row in code.get_matrix()]


def drawn(runs, side):
    matrix = [[False] * side for _ in range(side)]
    for column, row, length in runs:
        matrix[row][column : column + length] = [True] * length
    return matrix


@pytest.mark.parametrize("link", LINKS)
def test_runs_cover_the_matrix(link):
    side, runs = qr_runs(link)
    assert drawn(runs, side) == matrix_of(link)


@pytest.mark.outside(
    "from memory: ISO/IEC 18004:2015, table 7: version 13-M holds 331 bytes, 69 modules a side"
)
def test_a_link_too_long_to_scan_gets_no_code():
    assert LARGEST_VERSION == 13
    assert qr_runs("h" * 331)[0] == 69
    for length in (332, 3_000, 10_000):
        assert qr_runs("h" * length) == (0, ())


@pytest.mark.parametrize("link", LINKS)
def test_the_page_carries_the_code_as_one_path(link):
    """The rectangles of the PDF's one large path, read back, are the code's dark modules."""
    side = qr_runs(link)[0]
    paths = _filled_paths(render(packing_list(link=link)))
    (path,) = [path for path in paths if len(path) > 50]
    left = min(x for x, _, _, _ in path)
    top = max(y + height for _, y, _, height in path)
    unit = QR_SIDE / side
    runs = [
        (round((x - left) / unit), round((top - y - height) / unit), round(width / unit))
        for x, y, width, height in path
    ]
    assert drawn(runs, side) == matrix_of(link)


def _filled_paths(pdf):
    """Rectangles of each path that is filled and not stroked."""
    paths, path, operands = [], [], []
    for token in PdfReader(BytesIO(pdf)).pages[0].get_contents().get_data().split():
        if token == b"re":
            path.append(tuple(map(float, operands[-4:])))
        elif token in (b"f", b"f*"):
            paths.append(path)
        if token in (b"n", b"S", b"B", b"f", b"f*"):
            path = []
        operands = [*operands[-3:], token]
    return paths


@pytest.mark.outside(
    "from memory: ISO/IEC 18004:2015, 6.3.8: a quiet zone of 4 modules on every side"
)
@pytest.mark.parametrize("link", [LINK, "a", "h" * 331])
def test_the_code_keeps_its_quiet_zone(link):
    clear = 4 * QR_SIDE / qr_runs(link)[0]
    page = PdfReader(BytesIO(render(packing_list(link=link)))).pages[0]
    right, top = float(page.mediabox.width) - SIDE, float(page.mediabox.height) - TOP
    near = []

    def see(text, _cm, tm, _font, size):
        beside = tm[4] + Style.BODY.face.width(text.strip(), size) > right - QR_SIDE - clear
        above = tm[5] + 0.73 * size > top - QR_SIDE - clear
        if text.strip() and beside and above:
            near.append(text)

    page.extract_text(visitor_text=see)
    assert near == []
    head = head_piece(packing_list(link=link), Frame.of(PageSize.LETTER))
    assert head.height > QR_SIDE + clear + SMALL.leading, "its caption stands above the rule"
    assert clear < STUB - QR_SIDE, "the dashed line stands outside"
    assert clear < min(SIDE, TOP), "so does the paper's edge"


def test_without_a_link_there_is_no_code():
    (page,) = pages_of(render(packing_list(link="")))
    assert "live page" not in page
    assert all(len(path) < 50 for path in _filled_paths(render(packing_list(link=""))))
