"""Another node as tests see it: its key, its shops and what they sign, without a database."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from apps.records.canonical import canonical_bytes
from apps.records.examples import BODIES
from apps.records.key_proof import prove
from apps.records.names import node_handle
from apps.records.reading import compose, read_draft, read_node_draft
from apps.records.signing import PrivateKey
from apps.registry.submissions import Submission
from tests.registry.making import DAY, key_of

EAST = "east.example"


@dataclass(frozen=True, slots=True)
class Author:
    """A shop of another node, with the key that signs for it."""

    handle: str
    key: PrivateKey

    @property
    def host(self) -> str:
        """Host of its node."""
        return self.handle.partition("@")[2]

    def signed(self, kind: str, *, tag: str = "E-1", **members: Any) -> Submission:
        """A record about a tag, its own unless another shop's is given, with a fixed salt."""
        salt = members.pop("salt", None)
        draft = {
            "ski": {"shop": members.pop("shop", self.handle), "tag": tag},
            "performed_at": DAY,
            "body": BODIES[kind],
            **members,
        }
        read = read_draft(kind, draft, node_host=self.host)
        return _signed(compose(read, author=self.handle, key=self.key.key_id, salt=salt), self.key)


def node_of(host: str) -> Author:
    """The node of a host as an author, with a fixed key."""
    return Author(node_handle(host), key_of(host))


def shop_of(host: str, code: str = "bench") -> Author:
    """A shop of that node, with a fixed key."""
    return Author(f"{code}@{host}", key_of(f"{code}.{host}"))


def key_record(
    node: Author, whose: Author, *, signer: PrivateKey | None = None, **body: Any
) -> Submission:
    """The node's record of a key, signed with the node's key unless told otherwise."""
    members = {
        "shop": whose.handle,
        "public": whose.key.public.text,
        "held_by": "shop",
        "proof": prove(whose.key, whose.handle),
        **body,
    }
    return node_record(node, "key", members, signer=signer)


def key_end(
    node: Author, whose: Author, *, signer: PrivateKey | None = None, **body: Any
) -> Submission:
    """The node's record that a key ended."""
    members = {"shop": whose.handle, "key": whose.key.key_id, "reason": "stolen", **body}
    return node_record(node, "key-end", members, signer=signer)


def node_record(
    node: Author, kind: Any, body: dict[str, Any], *, signer: PrivateKey | None = None
) -> Submission:
    """A record about no ski."""
    key = signer or node.key
    draft = read_node_draft(kind, {"performed_at": DAY, "body": body}, node_host=node.host)
    return _signed(compose(draft, author=node.handle, key=key.key_id), key)


def introduction(host: str, *shops: Author) -> list[Submission]:
    """What a node's log begins with: its own key, and those of its shops."""
    node = node_of(host)
    own = key_record(node, node, held_by="node")
    return [own, *(key_record(node, shop) for shop in shops)]


def _signed(document: dict[str, Any], key: PrivateKey) -> Submission:
    data = canonical_bytes(document)
    return Submission(data=data, signature=key.sign_text(data))
