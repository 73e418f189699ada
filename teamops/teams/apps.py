from django.apps import AppConfig


class TeamsConfig(AppConfig):
    """People, teams, roles, and the scope that keeps one team's rows from another's."""

    name = "teamops.teams"
