"""The page on records has every rule between fields, limit and word that the code has."""

from __future__ import annotations

import re

from apps.records import bundle_file, checkpoint, clusters, frame, names, notes, strict_json
from tests.format import bundle, documents
from tests.format.pages import FOLDER, ROOT

# A request's rule, which the record form can't break, and the rule of a bundle's rows.
ELSEWHERE = {"bevel-and-angle-disagree", "neither-nor"}
RECORDS = (FOLDER / "records.md").read_text(encoding="utf-8")
LIMITS = (ROOT / "docs" / "format.md").read_text(encoding="utf-8")


def test_every_rule_between_fields_is_on_the_page() -> None:
    sources = (path.read_text(encoding="utf-8") for path in (ROOT / "apps/records").glob("*.py"))
    found = re.findall(r'Broken\(\s*[^,]+,\s*"([a-z-]+)"', "\n".join(sources))
    section = RECORDS.partition("## Rules between fields")[2].partition("## ")[0]
    assert set(found) - ELSEWHERE == set(re.findall(r"\| `([a-z-]+)` \|$", section, re.MULTILINE))


def test_the_limits_are_those_of_the_code() -> None:
    assert (documents.MAX_BYTES, documents.MAX_DEPTH) == (
        strict_json.MAX_BYTES,
        strict_json.MAX_DEPTH,
    )
    for number in (
        strict_json.MAX_BYTES,
        strict_json.MAX_DEPTH,
        frame.REFERENCES,
        notes.MAX_NOTE_BYTES,
        notes.MAX_SIGNATURES,
        clusters.CAP,
        bundle_file.MAX_BUNDLE_BYTES,
        bundle_file.DEPTH,
    ):
        assert re.search(rf"\b{number:,}\b", LIMITS), number
    assert f"{strict_json.MAX_SAFE_INTEGER}" in LIMITS
    assert documents.MAX_INTEGER == strict_json.MAX_SAFE_INTEGER
    assert checkpoint.MAX_SIZE == 2**63 - 1
    assert bundle.MOST_TAGS == clusters.CAP


def test_names_are_those_of_the_code() -> None:
    assert documents.TAG.pattern == names.TAG_PATTERN
    assert documents.HANDLE.pattern == f"{names.CODE_PATTERN}@{names.HOST_PATTERN}"
