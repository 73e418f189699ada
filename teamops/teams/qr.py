"""An address as a picture to scan."""

from django.utils.html import format_html
from django.utils.safestring import SafeString

from teamops.paper.qr import qr_runs

QUIET = 4  # [modules] ISO/IEC 18004 asks for as many clear ones around


def qr_svg(link: str, title: str = "The same link, to scan") -> SafeString:
    """The code as inline SVG, one path drawn with attributes; nothing if the link is too long."""
    modules, runs = qr_runs(link)
    if not modules:
        return SafeString("")
    path = "".join(f"M{x + QUIET} {y + QUIET}h{length}v1h-{length}z" for x, y, length in runs)
    side = modules + 2 * QUIET
    return format_html(
        '<svg class="scan" viewBox="0 0 {} {}" role="img" aria-label="{}" shape-rendering='
        '"crispEdges"><rect width="{}" height="{}" fill="#fff"/><path d="{}" fill="#000"/></svg>',
        side, side, title, side, side, path,
    )  # fmt: skip
