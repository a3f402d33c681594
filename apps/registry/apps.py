"""How Django knows this room."""

from django.apps import AppConfig


class RegistryConfig(AppConfig):
    """The registry room; its checks are registered when Django is ready."""

    name = "apps.registry"
    label = "registry"
    default_auto_field = "django.db.models.BigAutoField"
    verbose_name = "Registry"

    def ready(self) -> None:
        """Register the system checks."""
        from apps.registry import checks  # noqa: F401  (registers by being imported)
