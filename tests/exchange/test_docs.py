"""What the page on importing promises is so."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path
from typing import Any

import pytest

from apps.api.contract_exports import IMPORT
from apps.api.imports import ImportQuery
from apps.api.spool import IMPORT_BYTES
from apps.exchange.import_lines import MAX_LINE_BYTES
from apps.exchange.import_results import Outcome
from apps.exchange.imports import Source, run_import
from apps.exchange.visit_cells import TableForm
from apps.exchange.visit_docs import with_columns
from apps.exchange.visit_table import MOST_FAULTS
from apps.records.strict_json import MAX_BYTES
from apps.registry.models import Record
from tests.exchange.tables import read
from tests.registry.making import a_shop

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "importing.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    """The examples of a language on the page."""
    return re.findall(rf"```{language}\n(.*?)```", PAGE, re.DOTALL)


def test_the_tables_of_columns_are_as_the_code_has_them() -> None:
    assert with_columns(PAGE) == PAGE, "write it anew with: service-registry schema"


def test_a_page_without_marks_is_refused() -> None:
    with pytest.raises(ValueError, match="no marks for the columns"):
        with_columns("# Importing")


def test_the_table_on_the_page_is_read_without_a_fault() -> None:
    (table,) = blocks("csv")
    visits, faults = read(table.encode())
    assert (len(visits), faults) == (3, [])


def test_the_examples_on_the_page_are_imported(db: None) -> None:
    by = a_shop()
    (table,) = blocks("csv")
    results = list(run_import(Source(io.BytesIO(table.encode()), by, TableForm()), whole=False))
    assert {one.outcome for one in results} == {Outcome.CREATED}
    lines = next(block for block in blocks("json") if block.startswith('{"kind"'))
    results = list(run_import(Source(io.BytesIO(lines.encode()), by), whole=True))
    assert {one.outcome for one in results} == {Outcome.CREATED}
    assert Record.objects.filter(kind="usage").count() == 1


def test_every_line_of_json_on_the_page_is_json() -> None:
    shown: list[Any] = [json.loads(line) for one in blocks("json") for line in one.splitlines()]
    results = {one["result"] for one in shown if "result" in one}
    assert results <= set(Outcome)
    assert [set(one["end"]) for one in shown if "end" in one] == [
        {"created", "already_here", "refused", "skipped"},
        {"count", "digest", "from", "until"},
    ]


def test_every_outcome_is_explained() -> None:
    for outcome in Outcome:
        assert f"| `{outcome}` |" in PAGE
        assert f"`{outcome}`" in IMPORT.description


def test_the_limits_on_the_page_are_those_of_the_code() -> None:
    assert (MAX_LINE_BYTES, MAX_BYTES, IMPORT_BYTES) == (64 * 2**10, 32 * 2**10, 256 * 2**20)
    assert MOST_FAULTS == 200
    for said in ("up to 64 KiB", "up to 32 KiB", "up to 256 MiB", "the first 200 of them"):
        assert said in PAGE


@pytest.mark.parametrize("name", ["decimal", "dates", "delimiter"])
def test_the_parameters_on_the_page_are_there(name: str) -> None:
    said = re.findall(rf"{name}=([a-z-]+)", PAGE)
    assert said
    for word in said:
        assert getattr(ImportQuery.model_validate({name: word}), name) == word
