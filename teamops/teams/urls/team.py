"""Addresses of a team's own pages."""

from django.urls import URLPattern

app_name = "team"
urlpatterns: list[URLPattern] = []
