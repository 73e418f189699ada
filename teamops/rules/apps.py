from django.apps import AppConfig


class RulesConfig(AppConfig):
    """Rulebooks and their criteria: how a table of marks becomes a total."""

    name = "teamops.rules"
