"""The meeting, the box check, the turn-in and protests."""

from django.urls import URLPattern, path

from teamops.contests.views import box, meeting, protest, turn_in

urlpatterns: list[URLPattern] = [
    path("contests/<uuid:pk>/meeting/", meeting.show_meeting, name="show_meeting"),
    path("contests/<uuid:pk>/meeting/say/", meeting.say_word, name="say_word"),
    path("contests/<uuid:pk>/meeting/windows/", meeting.move_windows, name="move_windows"),
    path("entries/<uuid:pk>/box/", box.check_box, name="check_box"),
    path("entries/<uuid:pk>/turn-in/", turn_in.turn_in, name="turn_in"),
    path("entries/<uuid:pk>/outcome/", turn_in.change_outcome, name="change_outcome"),
    path("entries/<uuid:pk>/protests/new/", protest.add_protest, name="add_protest"),
    path("protests/<uuid:pk>/", protest.change_protest, name="change_protest"),
]
