"""The command that gathers the strings of the pages and keeps the catalogs to them."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from argparse import _SubParsersAction

PAGES = Path(__file__).resolve().parents[2] / "apps" / "pages"
LANGUAGES = ("de", "fr")
NO_BABEL = "Babel is needed to read and write catalogs: install the extra `dev`."


def add_to(commands: _SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add ``translations``."""
    parser = commands.add_parser("translations", help="bring the catalogs of the pages up to date")
    parser.add_argument(
        "--check", action="store_true", help="only say what is missing, left over or wrong"
    )
    parser.add_argument("--folder", type=Path, default=PAGES, help=argparse.SUPPRESS)
    parser.set_defaults(command=translations)


def translations(options: argparse.Namespace) -> int:
    """Write the catalogs, or only check them; status 1 if anything is left to translate."""
    if find_spec("babel") is None:
        print(NO_BABEL, file=sys.stderr)
        return 2
    if not options.check:
        write_catalogs(options.folder)
    found = list(catalog_faults(options.folder))
    for line in found:
        print(line, file=sys.stderr)
    return 1 if found else 0


def write_catalogs(folder: Path) -> None:
    """Bring every catalog up to what the pages say, and write what the pages read of it."""
    from service_registry.catalogs.extracting import extracted
    from service_registry.catalogs.storing import po_text, read_catalog, renewed

    template = extracted(folder)
    for language in LANGUAGES:
        path = po_path(folder, language)
        path.parent.mkdir(parents=True, exist_ok=True)
        catalog = renewed(read_catalog(path, language), template)
        path.write_text(po_text(catalog), encoding="utf-8")
        _write_compiled(path, language)


def _write_compiled(path: Path, language: str) -> None:
    from service_registry.catalogs.storing import entries, mo_bytes, read_catalog

    made, target = mo_bytes(read_catalog(path, language)), path.with_suffix(".mo")
    # A file that says the same is left alone, whatever version of the tool wrote it.
    if not target.exists() or entries(target.read_bytes()) != entries(made):
        target.write_bytes(made)


def catalog_faults(folder: Path) -> Iterator[str]:
    """Say what is wrong with the catalogs of a room, each line with its language."""
    from service_registry.catalogs.extracting import extracted
    from service_registry.catalogs.faults import faults
    from service_registry.catalogs.storing import entries, mo_bytes, read_catalog

    template = extracted(folder)
    for language in LANGUAGES:
        path = po_path(folder, language)
        catalog, compiled = read_catalog(path, language), path.with_suffix(".mo")
        yield from (f"{language}: {line}" for line in faults(template, catalog))
        stands = compiled.read_bytes() if compiled.exists() else b""
        if not stands or entries(stands) != entries(mo_bytes(catalog)):
            yield f"{language}: {compiled.name} was not made from {path.name}"


def po_path(folder: Path, language: str) -> Path:
    """Give the place of a catalog."""
    return folder / "locale" / language / "LC_MESSAGES" / "django.po"
