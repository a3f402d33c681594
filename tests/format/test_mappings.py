"""The mapping tables name every member of the envelope and every kind, each row with a source."""

from __future__ import annotations

import json
import re

import pytest

from tests.format.documents import KINDS
from tests.format.pages import ROOT

TEXT = (ROOT / "docs" / "mappings.md").read_text(encoding="utf-8")
PARTS = dict(
    zip(
        ("EPCIS", "PROV-O"),
        re.split(r"^## (?:EPCIS 2\.0 and CBV 2\.0|PROV-O)$", TEXT, flags=re.M)[1:],
        strict=True,
    )
)
MEMBERS = {
    "id",
    "kind",
    "author",
    "key",
    "ski",
    "performed_at",
    "body",
    "refers_to",
    "salt",
    "format",
}


def rows(text: str) -> list[list[str]]:
    lines = [line for line in text.splitlines() if line.startswith("|")]
    cells = [[cell.strip() for cell in re.split(r"(?<!\\)\|", line)[1:-1]] for line in lines]
    return [row for row in cells if row[0] != "ours" and not set(row[0]) <= set("-")]


@pytest.mark.parametrize("part", PARTS.values(), ids=list(PARTS))
def test_every_member_and_every_kind_has_a_row(part: str) -> None:
    named = {word for row in rows(part) for word in re.findall(r"`([a-z_-]+)`", row[0])}
    assert named >= MEMBERS | KINDS


def test_every_status_has_a_row() -> None:
    schema = json.loads((ROOT / "docs" / "schema" / "status.json").read_text(encoding="utf-8"))
    words = set(schema["$defs"]["SkiStatus"]["enum"])
    assert words <= set(re.findall(r"`([a-z_]+)`", PARTS["EPCIS"]))


def test_every_row_says_how_near_it_is_and_where_that_stands() -> None:
    for row in rows(TEXT):
        *_, near, source = row
        assert re.match("same|near|none", near), row
        assert re.fullmatch(r"none|(?:(?:EPCIS|CBV) )?\d.*", source), row
        assert source != "none" or near.startswith("none"), row
