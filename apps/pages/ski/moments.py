"""Moments as a page writes them: by the node's calendar and clock."""

from __future__ import annotations

from datetime import datetime

from django.utils.formats import date_format
from django.utils.timezone import localtime


def moment_text(moment: datetime) -> str:
    """Write a moment: the day by the locale, and the time to the minute."""
    local = localtime(moment)
    return f"{date_format(local)}, {date_format(local, 'H:i')}"
