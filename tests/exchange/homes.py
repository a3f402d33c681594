"""Foreign nodes as tests need them: records signed with fixed keys, and a log that answers."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from apps.exchange.peers.transport import JSON, TEXT, Answer, Ask
from apps.records.canonical import canonical_bytes, record_id
from apps.records.checkpoint import Checkpoint, log_origin
from apps.records.examples import BODIES
from apps.records.key_proof import prove
from apps.records.notes import VerifierKey
from apps.records.signing import PrivateKey
from apps.records.tree import CompactRange, Node, consistency_nodes, record_leaf

DAY = "2025-01-31"


@dataclass(frozen=True)
class Signed:
    """A signed record: id, canonical bytes, signature."""

    id: str
    data: bytes
    signature: str


def key_of(name: str) -> PrivateKey:
    """A fixed key, so that a test that fails does so again."""
    return PrivateKey.from_seed(name.encode()[:32].ljust(32, b"."))


def vkey_of(host: str) -> str:
    """The verifier key of a fixed node's log."""
    return VerifierKey(log_origin(host), key_of(f"node@{host}").public).text


def signed(document: dict[str, Any], key: PrivateKey) -> Signed:
    """A document as a signed record."""
    data = canonical_bytes(document)
    return Signed(record_id(data), data, key.sign_text(data))


class Home:
    """One node's own records, in the order in which it wrote them."""

    def __init__(self, host: str, codes: Sequence[str]) -> None:
        self.host = host
        self.records: list[Signed] = []
        self._salts = 0
        self.add_key("node", "node")
        for code in codes:
            self.add_key(code, "node")

    def handle(self, code: str) -> str:
        """Handle of a shop of this node."""
        return f"{code}@{self.host}"

    def add_key(self, code: str, held_by: str) -> Signed:
        """Write the record that begins the key of a shop, or of the node itself."""
        handle = self.handle(code)
        key = key_of(handle)
        body = {
            "shop": handle,
            "public": key.public.text,
            "held_by": held_by,
            "proof": prove(key, handle),
        }
        return self.write("key", "node", body=body)

    def write(self, kind: str, code: str, *, tag: str = "", shop: str = "", **more: Any) -> Signed:
        """Write a record as a shop of this node, with the schema's example for a body."""
        record = self.make(kind, code, tag=tag, shop=shop, **more)
        self.records.append(record)
        return record

    def make(self, kind: str, code: str, *, tag: str = "", shop: str = "", **more: Any) -> Signed:
        """Make a record and keep it out of the log."""
        self._salts += 1
        author = self.handle(code)
        key = key_of(author)
        document = {
            "format": 1,
            "kind": kind,
            "author": author,
            "key": key.key_id,
            "performed_at": DAY,
            "refers_to": [],
            "body": BODIES.get(kind, {}),
            "salt": f"{self._salts:032x}",
            **more,
        }
        if tag:
            document["ski"] = {"shop": shop or author, "tag": tag}
        return signed(document, key)


Twist = Callable[[Ask, Answer], Answer]


def straight(_ask: Ask, answer: Answer) -> Answer:
    """Leave an answer as it is."""
    return answer


@dataclass
class FakeNode:
    """A node's log in memory that answers as the API does; `twist` may change any answer."""

    host: str
    rows: list[Signed] = field(default_factory=list)
    twist: Twist = straight
    page: int = 1000
    erased: dict[str, str] = field(default_factory=dict)
    asked: list[Ask] = field(default_factory=list)
    key: PrivateKey | None = None
    origin: str = ""
    tree_ids: list[str] | None = None
    cosignatures: list[str] = field(default_factory=list)

    def add(self, records: Iterable[Signed]) -> None:
        """Append records that are not here yet."""
        have = {row.id for row in self.rows}
        self.rows.extend(record for record in records if record.id not in have)

    @property
    def ids(self) -> list[str]:
        """The ids that the tree is over."""
        return [row.id for row in self.rows] if self.tree_ids is None else self.tree_ids

    def ask(self, ask: Ask) -> Answer:
        """Answer a request."""
        self.asked.append(ask)
        answers = {
            "log/checkpoint": self._checkpoint,
            "log/consistency": self._consistency,
            "log/records": self._records,
            "log/cosignatures": self._cosign,
        }
        return self.twist(ask, answers[ask.path](ask))

    def _checkpoint(self, _ask: Ask) -> Answer:
        key = self.key or key_of(f"node@{self.host}")
        origin = self.origin or log_origin(self.host)
        said = Checkpoint(origin, len(self.ids), tree_over(self.ids).root)
        return Answer(200, TEXT, said.signed(key).data)

    def _consistency(self, ask: Ask) -> Answer:
        old, size = ask.query["old"], ask.query["size"]
        nodes: dict[Node, bytes] = {}
        tree = CompactRange()
        for one in self.ids[:size]:
            leaf = record_leaf(one)
            nodes |= dict(tree.completed(leaf))
            tree = tree.append(leaf)
        hashes = consistency_nodes(old, size).combine(nodes)
        return as_json({"old": old, "size": size, "hashes": [one.hex() for one in hashes]})

    def _records(self, ask: Ask) -> Answer:
        start, until = ask.query["from"], ask.query["until"]
        end = min(until, start + min(ask.query["limit"], self.page))
        items = [self._item(index) for index in range(start, min(end, len(self.rows)))]
        return as_json({"size": len(self.rows), "items": items, "next": None})

    def _item(self, index: int) -> dict[str, Any]:
        row = self.rows[index]
        if row.id in self.erased:
            return {"index": index, "id": row.id, "erased_by": self.erased[row.id]}
        record = json.loads(row.data)
        return {"index": index, "id": row.id, "signature": row.signature, "record": record}

    def _cosign(self, ask: Ask) -> Answer:
        self.cosignatures.append(json.loads(ask.body or b"")["note"])
        return as_json({})


def as_json(document: object, status: int = 200) -> Answer:
    """A JSON answer."""
    return Answer(status, JSON, json.dumps(document, ensure_ascii=False).encode())


def tree_over(ids: Iterable[str]) -> CompactRange:
    """The compact range over record ids."""
    tree = CompactRange()
    for one in ids:
        tree = tree.append(record_leaf(one))
    return tree
