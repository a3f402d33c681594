"""Commands that write what is made from the code: schemas, pages with tables, OpenAPI."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from apps.exchange.visit_docs import with_columns
from apps.records.json_schema import schema_files
from apps.records.nomenclature import with_sections
from service_registry.settings_table import with_settings_table

if TYPE_CHECKING:
    from argparse import _SubParsersAction

DOCS = Path(__file__).resolve().parents[2] / "docs"


def add_to(commands: _SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add ``schema`` and ``openapi``."""
    for name, command, what in (
        ("schema", write_schema, "docs/schema and the tables in the docs"),
        ("openapi", write_openapi, "docs/openapi.yaml and docs/problems.md"),
    ):
        parser = commands.add_parser(name, help=f"write {what} from the code")
        parser.add_argument("--check", action="store_true", help="only say whether it has drifted")
        parser.set_defaults(command=command)


def write_schema(options: argparse.Namespace) -> int:
    """Write or check the JSON Schemas, the nomenclature and the table of settings."""
    files = {DOCS / "schema" / name: text for name, text in schema_files().items()}
    for page, renew in (
        ("nomenclature.md", with_sections),
        ("operating.md", with_settings_table),
        ("importing.md", with_columns),
    ):
        files[DOCS / page] = renew((DOCS / page).read_text(encoding="utf-8"))
    return write_or_check(files, check=options.check)


def write_openapi(options: argparse.Namespace) -> int:
    """Write or check the OpenAPI contract and the page of problems."""
    from apps.api.openapi import contract_yaml
    from apps.api.problem_page import problems_markdown

    files = {DOCS / "openapi.yaml": contract_yaml(), DOCS / "problems.md": problems_markdown()}
    return write_or_check(files, check=options.check)


def write_or_check(files: Mapping[Path, str], *, check: bool) -> int:
    """Write the files that differ, or only name them; status 1 if a check finds one."""
    drifted = [path for path, text in files.items() if _stands(path) != text]
    for path in drifted:
        if check:
            print(f"{path.name} has drifted from the code; write it anew.", file=sys.stderr)
        else:
            path.write_text(files[path], encoding="utf-8")
            print(f"wrote {path.name}")
    return 1 if check and drifted else 0


def _stands(path: Path) -> str | None:
    return path.read_text(encoding="utf-8") if path.exists() else None
