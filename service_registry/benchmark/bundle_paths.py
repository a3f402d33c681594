"""The bundle of a ski with many records: reading its proofs, and checking it."""

from __future__ import annotations

import json
from collections.abc import Sequence

from apps.exchange.bundles import bundle_of
from apps.records.bundle import verify_bundle
from apps.records.canonical import canonical_bytes
from apps.records.clusters import Links
from apps.records.reading import read_record
from apps.registry import tree
from apps.registry.models import Tag
from service_registry.benchmark.paths import Path

LINKS: Links = "none"


def bundle_paths(tag: Tag) -> tuple[Path, ...]:
    """Give the paths that read the proofs for a bundle and that check one, for a tag."""
    data = bundle_of(tag, LINKS)
    rows = json.loads(data)["bundle"]["records"]
    documents = [canonical_bytes(row["record"]) for row in rows]
    places, size = [row["index"] for row in rows], tree.log_size()
    return (
        Path(
            "proofs of a bundle, read level by level",
            "each proof read by itself",
            lambda: len(tree.inclusions(places, size)),
            lambda: len([tree.inclusion(place, size) for place in places]),
        ),
        Path(
            "bundle checked: bytes, signatures, proofs, keys",
            "its records read strictly and nothing checked",
            lambda: _checked(data),
            lambda: _read(documents),
        ),
    )


def _checked(data: bytes) -> int:
    report = verify_bundle(data)
    if not report.holds or report.facts is None:
        raise AssertionError("The bundle does not hold, so there is nothing to measure.")
    return report.facts.records


def _read(documents: Sequence[bytes]) -> int:
    return len([read_record(data) for data in documents])
