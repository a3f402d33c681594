"""How Django knows this room."""

from django.apps import AppConfig


class PagesConfig(AppConfig):
    """The room of the web pages; it has no tables."""

    name = "apps.pages"
    label = "pages"
    verbose_name = "Pages"
