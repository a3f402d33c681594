"""Catalogs on disk: the text that translators edit and what the pages read."""

from __future__ import annotations

import gettext
import io
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

WIDTH = 100
LEFT_OUT = (
    "POT-Creation-Date",
    "PO-Revision-Date",
    "Generated-By",
    "Report-Msgid-Bugs-To",
    "Last-Translator",
    "Language-Team",
)
"""Headers that would change with every run or name nobody."""

HEADER = "# Translations of the pages; how they are kept stands in docs/translating.md."
PROJECT = "ski service registry"
PLURALS = {"de": "(n != 1)", "fr": "(n > 1)"}


def read_catalog(path: Path, language: str) -> Catalog:
    """Read what is translated; an empty catalog where there is none yet."""
    if not path.exists():
        return _new_catalog(language)
    with path.open("rb") as source:
        return read_po(source, locale=language, charset="utf-8")


def _new_catalog(language: str) -> Catalog:
    new = Catalog(locale=language, project=PROJECT, version="1", header_comment=HEADER, fuzzy=False)
    # The locale data know a third form in French, for millions; no page counts so far.
    plurals = PLURALS[language]
    new.mime_headers = [*new.mime_headers, ("Plural-Forms", f"nplurals=2; plural={plurals};")]
    return new


def renewed(catalog: Catalog, template: Catalog) -> Catalog:
    """Bring a catalog up to what the pages say: new strings are empty, gone ones are left out."""
    catalog.update(template, no_fuzzy_matching=True)
    catalog.obsolete.clear()
    return catalog


def po_text(catalog: Catalog) -> str:
    """Write a catalog as translators edit it: sorted, without what changes from run to run."""
    target = io.BytesIO()
    write_po(target, catalog, width=WIDTH, sort_output=True, include_lineno=False)
    lines = target.getvalue().decode().splitlines(keepends=True)
    left_out = tuple(f'"{name}' for name in LEFT_OUT)
    return "".join(line for line in lines if not line.startswith(left_out))


def mo_bytes(catalog: Catalog) -> bytes:
    """Write a catalog as the pages read it."""
    target = io.BytesIO()
    for message in list(catalog):
        # An empty plural would be read as an answer; left out, the page falls back to English.
        if isinstance(message.string, tuple) and not all(message.string):
            catalog.delete(message.id, message.context)
    write_mo(target, catalog)
    return target.getvalue()


def entries(data: bytes) -> dict[str | tuple[str, int], str]:
    """Read what a written catalog says, without its header; of a plural every form."""
    read = gettext.GNUTranslations(io.BytesIO(data))._catalog  # type: ignore[attr-defined]
    return {name: text for name, text in read.items() if name != ""}
