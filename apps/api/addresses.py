"""Addresses of skis and records, written and read."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from urllib.parse import quote

from django.http import QueryDict

from apps.api.problem_types import ERASED, UNKNOWN_RECORD, UNKNOWN_SKI
from apps.api.problems import Problem
from apps.records.place import SkiTag
from apps.registry.errors import UnknownTag
from apps.registry.naming import short_shop, ski_named

ROOT = "/api/v1"


def ski_address(shop: str, tag: str) -> str:
    """Give the address of a ski; the own node's host is left out."""
    return f"{ROOT}/skis/{quote(short_shop(shop), safe='@')}/{quote(tag)}"


def record_address(record_id: str, segment: str = "records") -> str:
    """Give the address of a record."""
    return f"{ROOT}/{segment}/{record_id}"


def read_ski(shop: str, tag: str) -> SkiTag:
    """Read the shop and tag of an address.

    Raises
    ------
    Problem
        `unknown-ski` with the sentence that says why no ski can be called that.
    """
    with where_the_ski_is_named():
        return ski_named(shop, tag)


@contextmanager
def where_the_ski_is_named() -> Iterator[None]:
    """Answer that a ski isn't here where it is the address that names it.

    Raises
    ------
    Problem
        `unknown-ski`.
    """
    try:
        yield
    except UnknownTag as error:
        raise Problem(UNKNOWN_SKI, error.sentence) from error


def unknown_record() -> Problem:
    """The problem of a record that is not here, or that the asker may not see."""
    return Problem(UNKNOWN_RECORD, "No record that you may read has this id here.")


def erased_record(erased_by: str) -> Problem:
    """The problem of a record whose bytes were erased."""
    return Problem(ERASED, f"This record was erased; record {erased_by} says why.")


def next_page(path: str, given: QueryDict, **changed: object) -> str:
    """Give the address of the next page: the same parameters, some of them changed."""
    query = given.copy()
    for name, value in changed.items():
        query[name] = str(value)
    return f"{path}?{query.urlencode()}"
