"""The meeting, the box check, the turn-in and protests."""

from django.urls import URLPattern, path

from teamops.contests.views import meeting, protest

urlpatterns: list[URLPattern] = [
    path("contests/<uuid:pk>/meeting/", meeting.show_meeting, name="show_meeting"),
    path("contests/<uuid:pk>/meeting/say/", meeting.say_word, name="say_word"),
    path("contests/<uuid:pk>/meeting/windows/", meeting.move_windows, name="move_windows"),
    path("entries/<uuid:pk>/protests/new/", protest.add_protest, name="add_protest"),
    path("protests/<uuid:pk>/", protest.change_protest, name="change_protest"),
]
