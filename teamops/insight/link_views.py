"""The team's links to its lists, and the calendar feed behind one of them."""

from django.core.cache import cache
from django.http import HttpRequest, HttpResponse, HttpResponseNotModified
from django.shortcuts import redirect, render
from django.utils.http import parse_etags, quote_etag
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from teamops.insight.feed import team_feed, write_calendar
from teamops.insight.queries.links import link_rows
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.actions.list_links import make_link
from teamops.teams.link_forms import CalendarForm
from teamops.teams.linked import linked_view, too_many
from teamops.teams.models import ListLink
from teamops.teams.roles import Permission
from teamops.teams.views.list_links import keep_new_link, new_link

A_DAY = 24 * 3600
READS = 60  # of one feed in a minute: far more than calendars ask


@require_http_methods(["GET", "POST"])
@team_view(Permission.SEE)
@never_cache
def show_links(request: TeamRequest) -> HttpResponse:
    """Every link that still works; a new calendar address for any member, shown once."""
    form = CalendarForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        link, address = make_link(
            team=request.team,
            kind=ListLink.Kind.CALENDAR,
            label=form.cleaned_data["label"],
            by=request.user,
        )
        keep_new_link(request, link, address)
        return redirect(f"{request.path}#new-link")
    page = {"form": form, "rows": link_rows(request.team, request.membership), **new_link(request)}
    return render(request, "insight/links.html", page, status=422 if form.errors else 200)


@require_safe
@linked_view(ListLink.Kind.CALENDAR)
def show_feed(request: HttpRequest, link: ListLink) -> HttpResponse:
    """The team's calendar; 304 to whoever has this very one already."""
    if too_many(f"feed-{link.token_hash}", READS):
        return HttpResponse("Too often: ask once an hour.\n", status=429)
    feed = team_feed(link.team)
    etag = quote_etag(feed.etag)
    answer: HttpResponse
    if etag in parse_etags(request.headers.get("If-None-Match", "")):
        answer = HttpResponseNotModified()
    else:
        # Writing costs some two milliseconds an event, and every device asks for the same.
        body = cache.get_or_set(f"feed-{feed.etag}", lambda: write_calendar(feed), A_DAY)
        answer = HttpResponse(body, content_type="text/calendar; charset=utf-8")
        answer["Content-Disposition"] = 'inline; filename="team.ics"'
    answer["ETag"] = etag
    answer["Cache-Control"] = "private, max-age=900"
    return answer
