"""Addresses of a team's own pages."""

from django.urls import path

from teamops.teams.views import list_links, team

app_name = "team"
urlpatterns = [
    path("", team.show_team, name="show_team"),
    path("settings/", team.change_team, name="change_team"),
    path("invite/", team.invite, name="invite"),
    path("invitations/<int:pk>/revoke/", team.revoke_invitation, name="revoke_invitation"),
    path("links/<int:pk>/renew/", list_links.renew_link, name="renew_link"),
    path("links/<int:pk>/revoke/", list_links.revoke_link, name="revoke_link"),
    path("people/<int:pk>/role/", team.change_role, name="change_role"),
    path("people/<int:pk>/remove/", team.remove_member, name="remove_member"),
    path("leave/", team.leave_team, name="leave_team"),
    path("delete/", team.delete_team, name="delete_team"),
]
