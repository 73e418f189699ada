from django.apps import AppConfig


class InsightConfig(AppConfig):
    """Pages that compose: the season, the points ledger."""

    name = "teamops.insight"
