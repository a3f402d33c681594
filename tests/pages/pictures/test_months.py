"""Months on an axis, as each language writes them."""

from __future__ import annotations

from datetime import date

import pytest
from django.utils import translation

from apps.pages.pictures.months import month_words


@pytest.mark.parametrize(
    ("language", "month", "said"),
    [
        ("en-gb", 1, "Jan 2028"),
        ("en-gb", 9, "Sep 2028"),
        ("de", 1, "Jan 2028"),
        ("fr", 1, "jan. 2028"),
        ("fr", 8, "août 2028"),
    ],
)
def test_a_month_is_written_as_the_language_writes_it(language: str, month: int, said: str) -> None:
    with translation.override(language):
        assert month_words(date(2028, month, 1)) == said
