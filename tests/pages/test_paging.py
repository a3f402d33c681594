"""Lists over several pages: where a page begins, and whether another one follows."""

from __future__ import annotations

import pytest
from django.test import RequestFactory
from hypothesis import given
from hypothesis import strategies as st

from apps.pages.paging import first_rows, number_before


@pytest.mark.parametrize(("text", "number"), [("17", 17), ("0", 0), ("9" * 18, 10**18 - 1)])
def test_a_page_begins_before_a_row(text: str, number: int) -> None:
    assert number_before(RequestFactory().get("/", {"before": text})) == number


@pytest.mark.parametrize(
    "text", ["", "x", "-1", "+1", " 1", "1.0", "1_0", "\u0661", "\u00b2", "9" * 19, "9" * 5000]
)
def test_what_numbers_no_row_begins_at_the_first(text: str) -> None:
    assert number_before(RequestFactory().get("/", {"before": text})) is None


def test_without_a_number_it_is_the_first_page() -> None:
    assert number_before(RequestFactory().get("/")) is None


@given(rows=st.integers(0, 40), size=st.integers(1, 10))
def test_pages_hold_every_row_once(rows: int, size: int) -> None:
    seen: list[int] = []
    last: int | None = -1
    while last is not None:
        page, last = first_rows(range(last + 1, min(last + 2 + size, rows)), size)
        assert len(page) <= size
        seen += page
    assert seen == list(range(rows))
