from django.apps import AppConfig


class JudgingConfig(AppConfig):
    """Score sheets, results and dated changes."""

    name = "teamops.judging"
