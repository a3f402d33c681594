"""The operations that tell about the node."""

from __future__ import annotations

from apps.api.answers.about import RootAnswer
from apps.api.openapi_texts import ABOUT
from apps.api.operations import Answer, Operation

ROOT_LINKS = {
    "contract": "/api/v1/openapi.json",
    "capabilities": "/.well-known/ski-service-registry",
    "docs": "/docs/",
    "problems": "/docs/problems",
    "skis": "/api/v1/skis",
}
NAME = "Ski service registry"
VERSION = "1"

ROOT = Operation(
    id="read_root",
    tag=ABOUT,
    summary="Where to find what",
    description="Needs no key.",
    answer=Answer(
        "The node and its API.",
        RootAnswer,
        {"name": NAME, "version": VERSION, "node_host": "node.example", "links": ROOT_LINKS},
    ),
    scope=None,
)

CONTRACT = Operation(
    id="read_contract",
    tag=ABOUT,
    summary="This contract",
    description="The OpenAPI 3.1 document of this API. Needs no key.",
    answer=Answer("The contract."),
    scope=None,
)
