"""The calendar feed: no team in the address, the secret is all."""

from django.urls import path

from teamops.insight import link_views

app_name = "feed"
urlpatterns = [path("<str:token>.ics", link_views.show_feed, name="show_feed")]
