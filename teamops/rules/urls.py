"""Addresses of rules."""

from django.urls import URLPattern

app_name = "rules"
urlpatterns: list[URLPattern] = []
