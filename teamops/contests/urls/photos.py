"""Photos of entries, and how they were cooked."""

from django.urls import URLPattern, path

from teamops.contests.views import photos

urlpatterns: list[URLPattern] = [
    path("entries/<uuid:pk>/photos/", photos.add_photo, name="add_photo"),
    path("entries/<uuid:pk>/cooked/", photos.note_cook, name="note_cook"),
    path("photos/<uuid:pk>/", photos.show_photo, name="show_photo"),
    path("photos/<uuid:pk>/remove/", photos.remove_photo, name="remove_photo"),
]
