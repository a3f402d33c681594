"""A shop that keeps its signing key itself: what it sends is made and signed outside its node."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from apps.records.canonical import canonical_bytes, record_id
from apps.records.key_proof import prove
from apps.records.names import node_host
from apps.records.reading import compose, read_draft
from apps.records.signing import PrivateKey


@dataclass(frozen=True, slots=True)
class SignedRecord:
    """A record as its shop hands it in.

    Parameters
    ----------
    id : str
    body : mapping
        Body of the PUT.
    """

    id: str
    body: Mapping[str, Any]

    @property
    def path(self) -> str:
        """Where it is put."""
        return f"/records/{self.id}"


@dataclass(frozen=True, slots=True)
class OwnShop:
    """The shop.

    Parameters
    ----------
    handle : str
    token : str
        API key of its node.
    key : PrivateKey
        Which its node never sees.
    seed : int
        Rules the salts, so that its records are the same each time.
    """

    handle: str
    token: str
    key: PrivateKey
    seed: int

    def registration(self) -> dict[str, str]:
        """Give what registers the key."""
        return {"public": self.key.public.text, "proof": prove(self.key, self.handle)}

    def signed(
        self,
        kind: str,
        tag: str,
        day: str,
        body: Mapping[str, Any],
        *,
        refers_to: Sequence[str] = (),
    ) -> SignedRecord:
        """Make a record about a ski under a tag of its own, and sign it."""
        draft = {"ski": {"shop": self.handle, "tag": tag}, "performed_at": day, "body": body}
        draft |= {"refers_to": list(refers_to)} if refers_to else {}
        read = read_draft(kind, draft, node_host=node_host(self.handle))
        salt = hashlib.sha256(f"{self.seed}/{kind}/{json.dumps(draft)}".encode()).hexdigest()[:32]
        data = canonical_bytes(compose(read, author=self.handle, key=self.key.key_id, salt=salt))
        sent = {"record": json.loads(data), "signature": self.key.sign_text(data)}
        return SignedRecord(record_id(data), sent)


def own_key(seed: int, code: str) -> PrivateKey:
    """Make the key that anyone can make again, and that signs for nobody therefore."""
    return PrivateKey.from_seed(hashlib.sha256(f"{seed}/{code}".encode()).digest())
