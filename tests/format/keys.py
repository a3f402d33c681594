"""Key ids, signatures, proofs, and which key speaks where, by docs/format/keys.md."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

from tests.format.documents import base64url, canonical, need, unbase64url

PRIME = 2**255 - 19


def private(seed_hex: str) -> Ed25519PrivateKey:
    """Make the key of a seed."""
    return Ed25519PrivateKey.from_private_bytes(bytes.fromhex(seed_hex))


def public(key: Ed25519PrivateKey) -> bytes:
    """Give the 32 bytes of the public half."""
    return key.public_key().public_bytes_raw()


def jwk(raw: bytes) -> bytes:
    """Give the bytes that a key id is the hash of."""
    return canonical({"crv": "Ed25519", "kty": "OKP", "x": base64url(raw)})


def key_id(raw: bytes) -> str:
    """Give the id of a key."""
    return base64url(hashlib.sha256(jwk(raw)).digest())


def proof_bytes(handle: str) -> bytes:
    """Give what a key signs to prove that it is held for a shop."""
    return f"ski-service-registry key v1\n{handle}\n".encode("ascii")


def holds(raw: bytes, data: bytes, signature: object) -> bool:
    """Say whether a signature in base64url is one of a key over bytes."""
    try:
        Ed25519PublicKey.from_public_bytes(raw).verify(unbase64url(signature, 64), data)
    except (InvalidSignature, ValueError):
        return False
    return True


def is_weak(raw: bytes) -> bool:
    """Say whether a key is a point of small order: eight times it is the neutral point, (0, 1)."""
    y = int.from_bytes(raw, "little") % 2**255 % PRIME
    for _ in range(3):
        y = _doubled(y)
    return y == 1


def _doubled(y: int) -> int:
    # The curve and its d are those of RFC 8032 section 5.1; x^2 follows from y.
    d = -121665 * pow(121666, -1, PRIME) % PRIME
    y2 = y * y % PRIME
    x2 = (y2 - 1) * pow(d * y2 + 1, -1, PRIME) % PRIME
    # On -x^2 + y^2 = 1 + d x^2 y^2, twice (x, y) has y' = (y^2 + x^2) / (1 - d x^2 y^2).
    return (y2 + x2) * pow(1 - d * x2 * y2, -1, PRIME) % PRIME


@dataclass
class Stated:
    """One key, as records of the log state it."""

    shop: str
    raw: bytes
    held_by: str
    begins: int
    ends: int | None = None


@dataclass
class Book:
    """The keys stated so far, by id."""

    keys: dict[str, Stated] = field(default_factory=dict)

    def check(self, index: int, record: Mapping[str, Any], signature: object) -> None:
        """Refuse a record whose signature is not one of a key that speaks for its author there."""
        key = self.keys.get(record["key"])
        need(key is not None and key.shop == record["author"], "no key of the author")
        assert key is not None
        need(key.begins < index and (key.ends is None or index < key.ends), "not valid there")
        need(holds(key.raw, canonical(record), signature), "the signature doesn't match")

    def take(self, index: int, record: Mapping[str, Any], signature: object) -> None:
        """Take a key record or the end of a key, in the order of the log."""
        need(record["format"] == 1 and record["kind"] in {"key", "key-end"}, "no key")
        body = record["body"]
        need(body["shop"].split("@")[1] == record["author"].split("@")[1], "a foreign shop")
        if record["kind"] == "key-end":
            self.check(index, record, signature)
            self._end(index, body)
        else:
            self._begin(index, record, signature)

    def _end(self, index: int, body: Mapping[str, Any]) -> None:
        key = self.keys.get(body["key"])
        need(key is not None and key.shop == body["shop"] and key.ends is None, "no live key")
        assert key is not None
        key.ends = index

    def _begin(self, index: int, record: Mapping[str, Any], signature: object) -> None:
        body = record["body"]
        raw = unbase64url(body["public"], 32)
        need(not is_weak(raw), "a key without a secret")
        need(holds(raw, proof_bytes(body["shop"]), body["proof"]), "not proved")
        need(key_id(raw) not in self.keys, "stated twice")
        if self._is_first(record, raw):
            need(holds(raw, canonical(record), signature), "the signature doesn't match")
        else:
            self.check(index, record, signature)
        self.keys[key_id(raw)] = Stated(body["shop"], raw, body["held_by"], index)

    def _is_first(self, record: Mapping[str, Any], raw: bytes) -> bool:
        author = record["author"]
        signs_itself = record["key"] == key_id(raw) and record["body"]["shop"] == author
        return signs_itself and all(key.shop != author for key in self.keys.values())
