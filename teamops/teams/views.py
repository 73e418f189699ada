from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from teamops.web.pages import signed_in_view


@signed_in_view
def choose_team(request: HttpRequest) -> HttpResponse:
    """The person's teams."""
    return render(request, "teams/choose_team.html", {})
