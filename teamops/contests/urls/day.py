"""The meeting, the box check, the turn-in and protests."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
