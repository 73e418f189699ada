"""Pictures at addresses of their own: what they may do, and how long they are kept."""

from collections.abc import Callable

from csp.constants import NONE, UNSAFE_INLINE
from csp.decorators import csp
from django.core.cache import cache
from django.http import HttpRequest, HttpResponse, HttpResponseNotModified
from django.utils.http import parse_etags, quote_etag

from teamops.insight.keeping import A_WEEK

KEPT = "private, max-age=31536000, immutable"  # the address names the content
ASK_AGAIN = "private, no-cache"

# A drawing styles its shapes itself, and holds nothing that could run.
drawing = csp({"default-src": [NONE], "style-src": [UNSAFE_INLINE], "frame-ancestors": [NONE]})


def drawn_answer(
    request: HttpRequest, content: str, draw: Callable[[str], str], *, seen: bool
) -> HttpResponse:
    """
    A picture as SVG, for a light page or, where the address asks for it, a dark one.

    `content` names exactly what is drawn: it is drawn once for everybody, and an answer that the
    reader has already is not sent again. Where the content is still what the page saw (`seen`),
    the answer may be kept for good; where a sheet was corrected since, the picture of today comes,
    to be asked for again.
    """
    theme = "dark" if request.GET.get("theme") == "dark" else "light"
    etag = quote_etag(f"{content}-{theme}")
    answer: HttpResponse
    if etag in parse_etags(request.headers.get("If-None-Match", "")):
        answer = HttpResponseNotModified()
    else:
        svg = cache.get_or_set(f"{content}-{theme}", lambda: draw(theme), A_WEEK)
        answer = HttpResponse(str(svg), content_type="image/svg+xml")
    answer["ETag"] = etag
    answer["Cache-Control"] = KEPT if seen else ASK_AGAIN
    return answer
