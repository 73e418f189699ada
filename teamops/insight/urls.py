"""Addresses of insight."""

from django.urls import URLPattern

app_name = "insight"
urlpatterns: list[URLPattern] = []
