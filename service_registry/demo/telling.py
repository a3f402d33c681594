"""How the story is set on the terminal: wrapped lines, points, and curl lines left whole."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from service_registry.demo.asking import Asked

WIDTH = 98


def said(text: str) -> Iterator[str]:
    """Give a paragraph."""
    yield from textwrap.wrap(text, WIDTH, break_on_hyphens=False)


def titled(text: str) -> Iterator[str]:
    """Give the first lines of a part, with an empty one before."""
    yield ""
    yield from said(text)


def points(texts: Iterable[str]) -> Iterator[str]:
    """Give each text as a point of a list."""
    for text in texts:
        yield from textwrap.wrap(
            text, WIDTH, initial_indent="  ", subsequent_indent="    ", break_on_hyphens=False
        )


def curl(asked: Asked) -> Iterator[str]:
    """Give the line that asks the same again."""
    yield f"  {asked.curl}"
