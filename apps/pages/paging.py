"""Lists that go on over several pages."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TypeVar

from django.http import HttpRequest

Row = TypeVar("Row")

# More digits than any row's number has; a longer one takes long to read.
_NUMBER = re.compile(r"[0-9]{1,18}", re.ASCII)


def number_before(request: HttpRequest) -> int | None:
    """Give the number of the row before which a page begins; None for the first page."""
    before = request.GET.get("before", "")
    return int(before) if _NUMBER.fullmatch(before) else None


def first_rows(found: Iterable[Row], size: int) -> tuple[list[Row], Row | None]:
    """Take the rows of a page.

    Parameters
    ----------
    found : iterable
        The rows from the first of the page on, one more than fits where there are more.
    size : int
        How many fit.

    Returns
    -------
    (list, Row or None)
        The rows, and the last of them where more follow.
    """
    rows = list(found)
    return rows[:size], rows[size - 1] if len(rows) > size else None
