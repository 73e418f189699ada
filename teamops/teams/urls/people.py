"""Addresses that belong to a person."""

from django.urls import path

from teamops.teams.views import account, people

app_name = "teams"
urlpatterns = [
    path("", people.choose_team, name="choose_team"),
    path("teams/new/", people.add_team, name="add_team"),
    path("join/<str:token>/", people.join, name="join"),
    path("sign-in/<str:token>/", people.use_link, name="use_link"),
    path("account/", account.show_account, name="show_account"),
    path("account/name/", account.change_name, name="change_name"),
    path("account/close/", account.close_account, name="close_account"),
    # stands before allauth's page of the same address, which it wraps
    path("account/logout/", people.sign_out, name="sign_out"),
]
