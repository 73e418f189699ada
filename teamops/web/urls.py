"""Addresses of web."""

from django.urls import path

from teamops.web import views

app_name = "web"
urlpatterns = [
    path("healthz", views.show_health, name="show_health"),
    path("robots.txt", views.show_robots, name="show_robots"),
]
