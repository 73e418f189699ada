"""A packing list behind a link: no team in the address, the secret is all."""

from django.urls import path

from teamops.packing.views import linked

app_name = "loading"
urlpatterns = [
    path("packing/<str:token>/", linked.show_load, name="show_load"),
    path("packing/<str:token>/tick/", linked.tick_load, name="tick_load"),
]
