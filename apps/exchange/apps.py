"""How Django knows this room."""

from django.apps import AppConfig


class ExchangeConfig(AppConfig):
    """The exchange room: the log as others see it, peers, imports and webhooks."""

    name = "apps.exchange"
    label = "exchange"
    default_auto_field = "django.db.models.BigAutoField"
    verbose_name = "Exchange"
