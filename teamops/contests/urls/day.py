"""The meeting, the box check, the turn-in and protests."""

from django.urls import URLPattern, path

from teamops.contests.views import protest

urlpatterns: list[URLPattern] = [
    path("entries/<uuid:pk>/protests/new/", protest.add_protest, name="add_protest"),
    path("protests/<uuid:pk>/", protest.change_protest, name="change_protest"),
]
