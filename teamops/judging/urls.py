"""Addresses of judging."""

from django.urls import path

from teamops.judging import views

app_name = "judging"
urlpatterns = [
    path("changes/", views.show_changes, name="show_changes"),
    path("changes/new/", views.add_change, name="add_change"),
    path("changes/<uuid:pk>/", views.change_change, name="change_change"),
    path("changes/<uuid:pk>/delete/", views.delete_change, name="delete_change"),
    path("<uuid:pk>/", views.record_scores, name="record_scores"),
]
