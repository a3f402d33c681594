"""Addresses of the pages of skis."""

from __future__ import annotations

from django.urls import reverse

from apps.registry.naming import short_shop


def ski_path(handle: str, tag: str, page: str = "ski") -> str:
    """Give the address of a page about a ski.

    Parameters
    ----------
    handle, tag : str
        The shop and its tag.
    page : str
        Name of the page among those that take a shop and a tag: `ski`, `bench-ski`, `plan`, ...
    """
    return reverse(f"pages:{page}", kwargs={"shop": short_shop(handle), "tag": tag})
