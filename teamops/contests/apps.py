from django.apps import AppConfig


class ContestsConfig(AppConfig):
    """Trips, contests, entries, and the tasks that lead to a turn-in."""

    name = "teamops.contests"
