"""What a table of words is."""

from __future__ import annotations

from collections.abc import Mapping

from django.utils.functional import Promise

Table = Mapping[str, str | Promise]
"""A closed list: the word of the records or the arithmetic, and the words a visitor reads."""
