"""A QR code as one path."""

from functools import lru_cache
from itertools import groupby

from qrcode import QRCode
from qrcode.constants import ERROR_CORRECT_M
from qrcode.exceptions import DataOverflowError
from reportlab.pdfgen.canvas import Canvas

# Version 13 has 69 modules a side: printed 2.4 cm wide each is 0.35 mm, about what a phone
# still reads from paper. Its 331 bytes hold any address of ours.
LARGEST_VERSION = 13

# Dark modules of one row that touch: column, row from the top, how many.
Run = tuple[int, int, int]


@lru_cache(maxsize=64)
def qr_runs(link: str) -> tuple[int, tuple[Run, ...]]:
    """Modules a side without quiet zone, and the runs of dark ones; (0, ()) if `link` is too long.

    Error correction M, the smallest version that holds the link, ISO/IEC 18004 as the qrcode
    package encodes it.
    """
    code = QRCode(error_correction=ERROR_CORRECT_M, border=0)
    code.add_data(link.encode("utf-8", "replace"))
    try:
        if code.best_fit() > LARGEST_VERSION:
            return 0, ()
    except (DataOverflowError, ValueError):  # the package's own check of versions over 40
        return 0, ()
    code.make(fit=False)
    matrix = code.get_matrix()
    return len(matrix), tuple(run for y, row in enumerate(matrix) for run in _runs(y, row))


def _runs(y: int, row: list[bool]) -> list[Run]:
    runs, x = [], 0
    for dark, modules in groupby(row):
        length = len(list(modules))
        if dark:
            runs.append((x, y, length))
        x += length
    return runs


def draw_qr(canvas: Canvas, link: str, x: float, top: float, side: float) -> None:
    """Draw the code with its upper left corner at (`x`, `top`); the caller keeps 4 modules clear.

    One filled path, so that no viewer shows seams between modules. Draws nothing for a link too
    long to scan.
    """
    modules, runs = qr_runs(link)
    if not modules:
        return
    unit = side / modules
    path = canvas.beginPath()
    for column, row, length in runs:
        path.rect(x + column * unit, top - (row + 1) * unit, length * unit, unit)
    canvas.setFillGray(0)
    canvas.drawPath(path, stroke=0, fill=1)
