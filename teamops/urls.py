"""All addresses. What a team sees lives under /t/<team>/; each app brings its own."""

from django.urls import include, path

team_pages = [
    path("", include("teamops.insight.urls")),
    path("", include("teamops.contests.urls")),
    path("scores/", include("teamops.judging.urls")),
    path("packing/", include("teamops.packing.urls")),
    path("gear/", include("teamops.inventory.urls")),
    path("rulebooks/", include("teamops.rules.urls")),
    path("team/", include("teamops.teams.urls.team")),
]

urlpatterns = [
    path("", include("teamops.web.urls")),
    path("", include("teamops.teams.urls.people")),
    path("account/", include("allauth.urls")),
    path("l/", include("teamops.contests.urls.linked")),
    path("l/", include("teamops.packing.linked_urls")),
    path("feed/", include("teamops.insight.feed_urls")),
    path("t/<slug:team>/", include(team_pages)),
]
