"""Lists behind a link: no team in the address, the secret is all."""

from django.urls import path

from teamops.contests.views import linked

app_name = "linked"
urlpatterns = [
    path("todos/<str:token>/", linked.show_todos, name="show_todos"),
    path("todos/<str:token>/tick/", linked.tick_todo, name="tick_todo"),
    path("prep/<str:token>/", linked.show_prep, name="show_prep"),
    path("prep/<str:token>/tick/", linked.tick_step, name="tick_step"),
]
