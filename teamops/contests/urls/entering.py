"""Payments, papers and what entering takes."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
