"""Months on an axis, short and as the language writes them."""

from __future__ import annotations

from datetime import date

from django.utils.formats import date_format
from django.utils.translation import pgettext


def month_words(day: date) -> str:
    """Name the month and the year of a day in as little room as the language takes."""
    # Django's `M` puts a capital on every month, which French doesn't: there it is `N Y`.
    return date_format(day, pgettext("how Django writes a month on an axis", "M Y"))
