"""A log of a few signed records without a database, made with keys that everybody knows."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from apps.records.bundle_file import BundleContents, BundleRow, erased_row, make_bundle, signed_row
from apps.records.canonical import canonical_bytes, record_id
from apps.records.checkpoint import Checkpoint, log_origin
from apps.records.key_proof import prove
from apps.records.names import node_handle
from apps.records.place import SkiTag
from apps.records.signing import PrivateKey
from tests.records.plain_tree import mth, path

HOST, FOREIGN_HOST = "node.example", "lake.example"
NODE, FOREIGN_NODE = node_handle(HOST), node_handle(FOREIGN_HOST)
SHOP, FOREIGN_SHOP = "fellbench@node.example", "tarnside@lake.example"
SKI = {"shop": SHOP, "tag": "FB-0042"}
FOREIGN_SKI = {"shop": FOREIGN_SHOP, "tag": "TS-7"}

Links = Literal["mutual", "all", "none"]


def known_key(name: str) -> PrivateKey:
    """Give the key whose seed is the SHA-256 of a name: it proves nothing."""
    return PrivateKey.from_seed(hashlib.sha256(name.encode()).digest())


NODE_KEY, FOREIGN_NODE_KEY = known_key(NODE), known_key(FOREIGN_NODE)
SHOP_KEY, FOREIGN_SHOP_KEY = known_key(SHOP), known_key(FOREIGN_SHOP)


@dataclass(frozen=True, slots=True)
class Written:
    """One place of the log."""

    id: str
    document: dict[str, Any]
    data: bytes
    signature: str


@dataclass
class SmallLog:
    """The records in their order, and what was erased."""

    written: list[Written] = field(default_factory=list)
    erased: dict[str, str] = field(default_factory=dict)

    def write(
        self,
        kind: str,
        body: Mapping[str, Any],
        *,
        author: str = SHOP,
        key: PrivateKey = SHOP_KEY,
        **envelope: Any,
    ) -> str:
        """Sign a record and append it; gives its id."""
        document = {
            "format": 1, "kind": kind, "author": author, "key": key.key_id, "body": body,
            "performed_at": "2025-01-31", "refers_to": [], "ski": SKI,
            "salt": f"{len(self.written):032x}", **envelope,
        }  # fmt: skip
        return self.append({name: value for name, value in document.items() if value}, key)

    def append(self, document: dict[str, Any], key: PrivateKey) -> str:
        """Sign a whole document and append it; gives its id."""
        document.setdefault("refers_to", [])
        document.setdefault("body", {})
        data = canonical_bytes(document)
        row = Written(record_id(data), document, data, key.sign_text(data))
        self.written.append(row)
        return row.id

    def state_key(
        self,
        new: PrivateKey,
        shop: str,
        *,
        by: PrivateKey = NODE_KEY,
        author: str = NODE,
        held_by: str = "node",
        proof: str = "",
    ) -> str:
        """Append a key record; gives its id."""
        said = {"shop": shop, "public": new.public.text, "held_by": held_by}
        body = {**said, "proof": proof or prove(new, shop)}
        return self.write("key", body, author=author, key=by, ski=None)

    def end_key(
        self, old: PrivateKey, shop: str, *, by: PrivateKey = NODE_KEY, author: str = NODE
    ) -> str:
        """Append the end of a key; gives its id."""
        body = {"shop": shop, "key": old.key_id, "reason": "stolen"}
        return self.write("key-end", body, author=author, key=by, ski=None)

    def erase(self, target: str, *, by: PrivateKey = NODE_KEY, author: str = NODE) -> str:
        """Empty a record and append the reason; gives the id of the erasure record."""
        reason = {"reason": "personal_data"}
        erasure = self.write("erasure", reason, author=author, key=by, refers_to=[target])
        self.erased[target] = erasure
        return erasure

    @property
    def leaves(self) -> list[bytes]:
        """The data of the leaves."""
        return [bytes.fromhex(one.id) for one in self.written]

    def checkpoint(self, key: PrivateKey = NODE_KEY, host: str = HOST) -> bytes:
        """Give the signed checkpoint of the whole log."""
        stated = Checkpoint(log_origin(host), len(self.written), mth(self.leaves))
        return stated.signed(key).data

    def row(self, index: int) -> BundleRow:
        """Give the row of one place."""
        one, proof = self.written[index], path(index, self.leaves)
        if one.id in self.erased:
            return erased_row(index, one.id, self.erased[one.id], proof)
        return signed_row(index, one.id, one.data, one.signature, proof)

    def contents(
        self, tags: Sequence[Mapping[str, str]] = (SKI,), links: Links = "mutual"
    ) -> BundleContents:
        """Give what belongs into a bundle about tags: their records, and every key."""
        numbered = list(enumerate(self.written))
        about = [i for i, one in numbered if one.document.get("ski") in tags]
        keys = [i for i, one in numbered if one.document["kind"] in {"key", "key-end"}]
        return BundleContents(
            ski=SkiTag.model_validate(tags[0]),
            tags=[SkiTag.model_validate(tag) for tag in tags],
            links=links,
            checkpoint=self.checkpoint(),
            records=[self.row(i) for i in about],
            keys=[self.row(i) for i in keys],
        )

    def bundle(self, tags: Sequence[Mapping[str, str]] = (SKI,), links: Links = "mutual") -> bytes:
        """Give the bundle about tags."""
        return make_bundle(self.contents(tags, links), NODE_KEY)


def started() -> SmallLog:
    """Give a log in which the node and its shop have keys."""
    log = SmallLog()
    log.state_key(NODE_KEY, NODE)
    log.state_key(SHOP_KEY, SHOP)
    return log


def story() -> SmallLog:
    """Give a log with everything that a bundle can hold.

    Two shops on two nodes mean one ski; one took its key into its own hands, one record was
    corrected, one erased, one is of a later format, and two are about another ski.
    """
    log = started()
    log.write("description", {"length_mm": 1710})
    own = known_key("fellbench's own")
    log.state_key(own, SHOP, held_by="shop")
    log.end_key(SHOP_KEY, SHOP)
    usage = log.write("usage", {"days": 12}, key=own)
    replacement = {"kind": "usage", "performed_at": "2025-01-31", "body": {"days": 21}}
    correction = {"reason": "typing_error", "replacement": replacement}
    log.write("correction", correction, key=own, refers_to=[usage])
    log.erase(log.write("status", {"status": "in_service"}, key=own))
    log.write("usage", {"days": 3}, key=own, ski={"shop": SHOP, "tag": "FB-0099"})
    foreign: dict[str, Any] = {"author": FOREIGN_NODE, "by": FOREIGN_NODE_KEY}
    log.state_key(FOREIGN_NODE_KEY, FOREIGN_NODE, **foreign)
    log.state_key(FOREIGN_SHOP_KEY, FOREIGN_SHOP, **foreign)
    other: dict[str, Any] = {"author": FOREIGN_SHOP, "key": FOREIGN_SHOP_KEY, "ski": FOREIGN_SKI}
    log.write("description", {"length_mm": 1710}, **other)
    evidence = {"evidence": ["both_labels"]}
    log.write("same-ski", {"other_ski": FOREIGN_SKI, **evidence}, key=own)
    log.write("same-ski", {"other_ski": SKI, **evidence}, **other)
    log.write("dispute", {"reason": "wrong_value"}, **{**other, "ski": SKI}, refers_to=[usage])
    log.write("scan", {}, key=own, format=2, later={"colours": [1, 2]})
    log.write("usage", {"days": 5}, key=own, ski={"shop": SHOP, "tag": "FB-0099"})
    return log


BOTH = (SKI, FOREIGN_SKI)
