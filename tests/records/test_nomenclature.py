"""The nomenclature page and the schema say the same, in both directions."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from apps.records.bench_words import FindingKind, Operation
from apps.records.kinds import KINDS
from apps.records.nomenclature import sections, with_sections
from apps.records.quantities import QUANTITIES, Quantity

DOCS = Path(__file__).parents[2] / "docs"
PAGE = (DOCS / "nomenclature.md").read_text(encoding="utf-8")
REQUEST_ONLY = {("BevelSettingBody", "side_angle_deg", "deg")}

Row = tuple[str, str, str]


def tables() -> dict[str, list[list[str]]]:
    """Read the page's tables by heading: the cells of each row."""
    found: dict[str, list[list[str]]] = {}
    heading = ""
    for line in PAGE.splitlines():
        if line.startswith("#"):
            heading = line.lstrip("# ")
        elif line.startswith("| `"):
            cells = re.split(r"(?<!\\)\|", line)[1:-1]
            found.setdefault(heading, []).append([cell.strip() for cell in cells])
    return found


def published() -> dict[str, dict[str, object]]:
    """Read the definitions of the published JSON Schema files by name."""
    found: dict[str, dict[str, object]] = {}
    for kind in KINDS:
        found |= json.loads((DOCS / "schema" / f"{kind}.json").read_text(encoding="utf-8"))["$defs"]
    return found


def schema_rows() -> set[Row]:
    """Give model, field and unit of every field below the envelope."""
    rows: set[Row] = set()
    for name, definition in published().items():
        fields = definition.get("properties", {})
        assert isinstance(fields, dict)
        shown = "Replacement" if name.endswith("Replacement") else name
        rows |= {(shown, field, schema.get("x-unit", "—")) for field, schema in fields.items()}
    return rows


def page_rows(width: int) -> set[Row]:
    """Give heading, first cell and third cell of every table row of a width."""
    return {
        (heading, row[0].strip("`"), row[2])
        for heading, rows in tables().items()
        for row in rows
        if len(row) == width and heading not in {"Envelope", "Quantities"}
    }


def test_every_field_is_on_the_page_with_its_unit_and_nothing_else_is() -> None:
    assert page_rows(5) == schema_rows() | REQUEST_ONLY


def test_every_word_is_on_the_page_and_nothing_else_is() -> None:
    words = {
        (name, word)
        for name, definition in published().items()
        for word in definition.get("enum", ())  # type: ignore[attr-defined]
        if name != "Quantity"
    }
    assert {(heading, word) for heading, word, _ in page_rows(3)} == words


def test_the_envelope_is_on_the_page() -> None:
    usage = json.loads((DOCS / "schema" / "usage.json").read_text(encoding="utf-8"))
    shown = {row[0].strip("`") for row in tables()["Envelope"]}
    assert shown == set(usage["properties"]) - {"body"}


def test_every_quantity_is_on_the_page_with_unit_and_range() -> None:
    rows = {row[0].strip("`"): row for row in tables()["Quantities"]}
    assert set(rows) == set(Quantity)
    for quantity, spec in QUANTITIES.items():
        assert rows[quantity][2] == (spec.uncertainty.unit or "`unit_text`")
        if spec.step is not None:
            assert rows[quantity][3].startswith(f"{spec.step.low} to {spec.step.high}, step")


def test_every_kind_is_on_the_page_and_nothing_else_is() -> None:
    assert re.findall(r"^- `([a-z-]+)`: .+", PAGE, re.MULTILINE) == list(KINDS)


def test_every_row_has_a_meaning_and_a_source() -> None:
    for heading, rows in tables().items():
        for row in rows:
            assert row[1].endswith("."), (heading, row)
            assert row[-1] not in {"", "—"}, (heading, row)


def test_every_link_leads_to_a_heading() -> None:
    headings = {line.lstrip("# ").lower() for line in PAGE.splitlines() if line.startswith("#")}
    linked = set(re.findall(r"\]\(#([a-z]+)\)", PAGE))
    headings |= {"quantity"} if "quantities" in headings else set()
    assert linked <= headings


def test_the_page_is_up_to_date() -> None:
    assert with_sections(PAGE) == PAGE


def test_a_page_without_the_marks_is_refused() -> None:
    name = next(iter(sections()))
    with pytest.raises(ValueError, match=f"no marks for the section {name}"):
        with_sections(PAGE.replace(f"<!-- end {name} -->", ""))


# The words of the trade that a bench uses: common practice, no source.
@pytest.mark.parametrize(
    "word",
    ["core_shot", "delamination", "edge_pulled", "edge_compressed", "edge_cracked", "edge_bent",
     "burr", "hardened_spot", "rust", "railed", "base_high", "base_burn", "oxidised_base"],
)  # fmt: skip
def test_the_trade_words_for_findings_are_there(word: str) -> None:
    assert FindingKind(word).meaning


def test_railed_is_concave_and_base_high_is_convex() -> None:
    assert "concave" in FindingKind.RAILED.meaning
    assert "convex" in FindingKind.BASE_HIGH.meaning


def test_a_binding_is_inspected_and_never_set() -> None:
    assert "result only" in Operation.INSPECT_BINDING.meaning
    assert not [op for op in Operation if "binding" in op and op is not Operation.INSPECT_BINDING]
