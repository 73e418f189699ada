"""Answers that a plain redirect would spoil."""

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import resolve_url
from django.utils.http import urlencode


class SignInAgainMiddleware:
    """
    Send an expired sign-in to the login page, in the way the asker can follow.

    A redirect to the login page would be swapped by htmx into a piece of the page, with status
    200, and the draft behind it thrown away. So htmx is told to leave the page (`HX-Redirect`),
    and a script that asks for JSON gets 401.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        login_url = resolve_url(settings.LOGIN_URL)
        to_login = response.status_code == 302 and response["Location"].split("?")[0] == login_url
        if not to_login or request.user.is_authenticated:
            return response
        if request.headers.get("HX-Request") == "true":
            page = request.headers.get("HX-Current-URL", "/")
            path = "/" + page.split("://", 1)[-1].partition("/")[2]
            answer = HttpResponse(status=401)
            answer["HX-Redirect"] = f"{login_url}?{urlencode({'next': path})}"
            return answer
        if "application/json" in request.headers.get("Accept", ""):
            return JsonResponse({"error": "Sign in again."}, status=401)
        return response
