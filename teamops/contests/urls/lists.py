"""Checklists, and lists behind links."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
