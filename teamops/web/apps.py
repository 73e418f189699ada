from django.apps import AppConfig


class WebConfig(AppConfig):
    """What every page needs: htmx and template helpers, middleware, form pieces."""

    name = "teamops.web"
