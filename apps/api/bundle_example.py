"""The example of a bundle in the contract: made by the code, small, and one that verifies."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from apps.records.bundle_file import BundleContents, BundleRow, make_bundle, signed_row
from apps.records.canonical import canonical_bytes, record_id
from apps.records.checkpoint import Checkpoint, log_origin
from apps.records.examples import NODE, SKI, example_record
from apps.records.key_proof import prove
from apps.records.names import node_host
from apps.records.place import SkiTag
from apps.records.signing import PrivateKey
from apps.records.tree import CompactRange, Node, inclusion_nodes, record_leaf

# The seeds of RFC 8032 section 7.1, tests 1 and 2, which everybody knows: they prove nothing.
SHOP_KEY = PrivateKey.from_seed(
    bytes.fromhex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
)
NODE_KEY = PrivateKey.from_seed(
    bytes.fromhex("4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb")
)


def example_bundle() -> Any:
    """Give a bundle with one record, whose shop and node have one key each."""
    return json.loads(example_file())


def example_file() -> bytes:
    """Give the same as the file that the node would send."""
    signed = [
        _signed(_key(NODE_KEY, NODE, "node"), NODE_KEY),
        _signed(_key(SHOP_KEY, SKI["shop"], "shop"), NODE_KEY),
        _signed({**example_record("usage"), "key": SHOP_KEY.key_id}, SHOP_KEY),
    ]
    checkpoint, rows = _placed(signed)
    ski = SkiTag.model_validate(SKI)
    contents = BundleContents(
        ski=ski,
        tags=[ski],
        links="mutual",
        checkpoint=checkpoint,
        records=rows[2:],
        keys=rows[:2],
    )
    return make_bundle(contents, NODE_KEY)


def _key(key: PrivateKey, handle: str, held_by: str) -> dict[str, Any]:
    said = {"shop": handle, "public": key.public.text, "held_by": held_by}
    body = {**said, "proof": prove(key, handle)}
    return {**example_record("key"), "key": NODE_KEY.key_id, "body": body}


def _signed(record: dict[str, Any], key: PrivateKey) -> tuple[bytes, str]:
    data = canonical_bytes(record)
    return data, key.sign_text(data)


def _placed(signed: Iterable[tuple[bytes, str]]) -> tuple[bytes, list[BundleRow]]:
    records = list(signed)
    tree, nodes = CompactRange(), dict[Node, bytes]()
    for data, _ in records:
        nodes |= tree.completed(record_leaf(record_id(data)))
        tree = tree.append(record_leaf(record_id(data)))
    stated = Checkpoint(log_origin(node_host(NODE)), tree.size, tree.root)
    rows = [
        signed_row(
            index,
            record_id(data),
            data,
            signature,
            inclusion_nodes(index, tree.size).combine(nodes),
        )
        for index, (data, signature) in enumerate(records)
    ]
    return stated.signed(NODE_KEY).data, rows
