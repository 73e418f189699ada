"""Addresses of rulebooks."""

from django.urls import path

from teamops.rules import views

app_name = "rules"
urlpatterns = [
    path("", views.show_rulebooks, name="show_rulebooks"),
    path("<uuid:pk>/", views.show_rulebook, name="show_rulebook"),
]
