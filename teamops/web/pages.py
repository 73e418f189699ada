"""Pages and their parts: one view answers a visit and an htmx swap."""

from collections.abc import Callable
from typing import TypeVar

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.utils.cache import patch_vary_headers

View = TypeVar("View", bound=Callable[..., HttpResponse])


def page_or_part(request: HttpRequest, page: str, part: str) -> str:
    """Name the part for an htmx swap, the page for a visit or a history restore."""
    swap = getattr(request, "htmx", None)
    return part if swap and not swap.history_restore_request else page


def vary_on_htmx(response: HttpResponse) -> HttpResponse:
    """Keep a cache from giving the part where the page was asked for."""
    patch_vary_headers(response, ["HX-Request"])
    return response


# Both write on the function what tests/test_access.py reads there; types know no such attribute.


def open_view(view: View) -> View:
    """Mark a view that anybody may visit; the list of them is explicit in the tests."""
    view.access = "open"  # type: ignore[attr-defined]
    return login_not_required(view)


def signed_in_view(view: View) -> View:
    """Mark a view for anybody signed in: it belongs to a person, not to a team."""
    view.access = "signed in"  # type: ignore[attr-defined]
    return view
