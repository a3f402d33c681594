"""What the contract says that no view does: tags, headers, path parameters, security."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from apps.records.names import CODE_PATTERN, DRAFT_TAG_PATTERN, HOST_PATTERN
from apps.registry.keys import PREFIX

SKIS = "Skis"
RECORDS = "Records"
JOBS = "Jobs"
FLEET = "Fleet"
EXCHANGE = "Exchange"
ABOUT = "About the node"

TAGS: Mapping[str, str] = MappingProxyType(
    {
        SKIS: "Register a ski, read what is known of it, and ask what a tune would take off.",
        JOBS: "Visits to the bench.",
        RECORDS: "The other kinds of record, and how an author corrects or retracts one.",
        FLEET: "The own skis as a whole: their state, what is due and why, and what is to come.",
        EXCHANGE: "What passes between shops, nodes and their programs.",
        ABOUT: "Where to find what.",
    }
)

SECURITY: dict[str, Any] = {
    "apiKey": {
        "type": "http",
        "scheme": "bearer",
        "description": "An API key of a shop, made by the operator of the node and shown once. "
        "Scope `read` lets it read and ask for plans; scope `write` lets it write records under "
        "the shop's own name; scope `keys` lets it keep the shop's signing keys; scope `feed` is "
        "for peers and reads the whole log.",
    }
}

PATH_PARAMETERS: Mapping[str, dict[str, Any]] = MappingProxyType(
    {
        "shop": {
            "name": "shop",
            "in": "path",
            "required": True,
            "description": "The shop whose tag it is: its code, or `code@node-host` for a shop of "
            "another node.",
            "schema": {"type": "string", "pattern": f"^{CODE_PATTERN}(@{HOST_PATTERN})?$"},
            "example": "fellbench",
        },
        "tag": {
            "name": "tag",
            "in": "path",
            "required": True,
            "description": "The tag as on the label; lower case is read as upper case.",
            "schema": {"type": "string", "pattern": f"^{DRAFT_TAG_PATTERN}$"},
            "example": "FB-0042",
        },
        "id": {
            "name": "id",
            "in": "path",
            "required": True,
            "description": "Id of a record: SHA-256 of its canonical bytes, in hexadecimal.",
            "schema": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
            "example": "2d5e01a318d0f0879ab568c4be289c8b1f64ef8921a53c6277d5e069978baacb",
        },
        "key": {
            "name": "key",
            "in": "path",
            "required": True,
            "description": "Id of a signing key: its RFC 7638 thumbprint.",
            "schema": {"type": "string", "pattern": "^[A-Za-z0-9_-]{43}$"},
            "example": "kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k",
        },
        "prefix": {
            "name": "prefix",
            "in": "path",
            "required": True,
            "description": "Name of a share link of the own shop.",
            "schema": {"type": "string", "pattern": f"^{PREFIX.pattern}$"},
            "example": "k7m2qzta",
        },
        "webhook": {
            "name": "webhook",
            "in": "path",
            "required": True,
            "description": "Id of a webhook of the own shop.",
            "schema": {"type": "string", "pattern": "^wh_[0-9a-f]{24}$"},
            "example": "wh_5f0c2f1e9d0b4a6c8e1d2b3a",
        },
    }
)

HEADERS: Mapping[str, dict[str, Any]] = MappingProxyType(
    {
        "X-Request-ID": {
            "description": "Id of the request: the client's own, 1 to 64 of letters, digits, "
            "`.`, `_`, `:`, `-`, or one made by the node.",
            "schema": {"type": "string"},
        },
        "Idempotency-Key": {
            "description": "Any text of 1 to 255 visible characters, new for each new request. The "
            "same request sent again with the same key has one effect and gets the same answer.",
            "schema": {"type": "string", "minLength": 1, "maxLength": 255},
        },
        "Idempotency-Replayed": {
            "description": "`true` when this is the answer to an earlier request with this key.",
            "schema": {"type": "string"},
        },
        "If-None-Match": {
            "description": "The ETag of the answer the client has; 304 when it still holds.",
            "schema": {"type": "string"},
        },
        "ETag": {
            "description": "Strong validator: SHA-256 of the answer.",
            "schema": {"type": "string"},
        },
        "Retry-After": {"description": "Seconds to wait.", "schema": {"type": "integer"}},
        "WWW-Authenticate": {
            "description": "The challenge of RFC 6750.",
            "schema": {"type": "string"},
        },
        "Allow": {"description": "The methods that work here.", "schema": {"type": "string"}},
    }
)
