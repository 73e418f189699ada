"""Addresses of contests, a room each."""

from teamops.contests.urls import contests, day, entering, lists, photos

app_name = "contests"
urlpatterns = [
    *contests.urlpatterns,
    *entering.urlpatterns,
    *day.urlpatterns,
    *lists.urlpatterns,
    *photos.urlpatterns,
]
