"""Every string of the pages that is to be translated, from Python and from templates."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from django.utils.translation.template import templatize

KEYWORDS = {
    "_": None,
    "gettext": None,
    "gettext_lazy": None,
    "gettext_noop": None,
    "ngettext": (1, 2),
    "ngettext_lazy": (1, 2),
    "pgettext": ((1, "c"), 2),
    "pgettext_lazy": ((1, "c"), 2),
    "npgettext": ((1, "c"), 2, 3),
    "npgettext_lazy": ((1, "c"), 2, 3),
}
COMMENT_TAGS = ("Translators:",)


def extracted(folder: Path) -> Catalog:
    """Gather the strings of a room.

    Parameters
    ----------
    folder : Path
        Its modules and templates are read, at any depth.

    Returns
    -------
    Catalog
        Each string once, with the files that say it.
    """
    catalog = Catalog(charset="utf-8")
    for path in _sources(folder):
        name = path.relative_to(folder).as_posix()
        for line, message, comments, context in _messages(path):
            catalog.add(message, locations=[(name, line)], auto_comments=comments, context=context)
    return catalog


def _sources(folder: Path) -> Iterator[Path]:
    yield from sorted(folder.rglob("*.py"))
    yield from sorted(folder.rglob("*.html"))


def _messages(path: Path) -> Iterator[tuple[int, str | tuple[str, ...], list[str], str | None]]:
    source = io.BytesIO(_readable(path))
    yield from extract("python", source, KEYWORDS, COMMENT_TAGS, strip_comment_tags=True)


def _readable(path: Path) -> bytes:
    if path.suffix == ".py":
        return path.read_bytes()
    text = templatize(path.read_text(encoding="utf-8"), origin=path.name)
    # What is left of a template is no Python; without indents it reads as plain names and calls.
    return "\n".join(line.strip() for line in text.splitlines()).encode()
