"""How Django knows this room."""

from django.apps import AppConfig


class ApiConfig(AppConfig):
    """The REST room; it has no tables."""

    name = "apps.api"
    label = "api"
    verbose_name = "API"
