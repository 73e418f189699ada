"""Addresses that belong to a person."""

from django.urls import path

from teamops.teams import views

app_name = "teams"
urlpatterns = [
    path("", views.choose_team, name="choose_team"),
]
