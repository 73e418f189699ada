"""Addresses of contests."""

from django.urls import URLPattern

app_name = "contests"
urlpatterns: list[URLPattern] = []
