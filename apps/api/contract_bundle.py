"""The operation that gives out a bundle."""

from __future__ import annotations

from apps.api import problem_types as types
from apps.api.bundle_example import example_bundle
from apps.api.contract_skis import FOREIGN
from apps.api.joined import LinksQuery
from apps.api.openapi_texts import SKIS
from apps.api.operations import Answer, Operation
from apps.records.bundle_file import Bundle

BUNDLE = Operation(
    id="read_bundle",
    tag=SKIS,
    summary="Take all records of a ski with their proofs in one file",
    description="The records of the tag and of those that links join with it, each with its "
    "signature and the proof of its place in the log, the records of the keys that signed them, "
    "and the node's checkpoint, all signed by the node. Save the answer as it is, byte for byte: "
    "`service-registry verify FILE` checks it without a network. What was erased is there by its "
    f"id, place and reason. {FOREIGN}",
    answer=Answer(
        "The bundle: canonical JSON (RFC 8785).",
        Bundle,
        example_bundle,
        headers={"Content-Disposition": "A name for the file."},
    ),
    cost="compute",
    query=LinksQuery,
    problems=(types.UNKNOWN_SKI, types.TOO_MANY_RECORDS),
)
