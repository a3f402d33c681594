"""Keys as records of the log: a node's word that a key is a shop's, and that it is no more."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, Literal

from pydantic import ConfigDict, Field

from apps.records.examples import draft_example, record_example
from apps.records.exchange_words import KeyEndReason, KeyHolder
from apps.records.frame import ByNode, DraftByNode, Plain, PlainDraft
from apps.records.model import Broken, RecordModel
from apps.records.names import node_host
from apps.records.primitives import Handle, KeyId, Label, PublicKeyText, SignatureText
from apps.records.signing import PublicKey
from apps.records.weak_keys import is_weak


class KeyBody(RecordModel):
    """A public key that signs for a shop, or for the node itself, from this place of the log on."""

    shop: Handle = Field(
        description="Handle of the shop whose key it is; of the node itself `node@node-host`.",
        json_schema_extra={"x-source": "RFC 1123 (host name)"},
    )
    public: PublicKeyText = Field(
        description="The Ed25519 public key in base64url, 43 characters.",
        json_schema_extra={"x-source": "RFC 8032, RFC 8037"},
    )
    held_by: KeyHolder = Field(description="Who keeps the private half.")
    proof: SignatureText = Field(
        description="Signature by this key over its shop's handle: whoever registers it holds it. "
        "Base64url, 86 characters.",
        json_schema_extra={"x-source": "RFC 8032"},
    )

    def broken_rules(self) -> Iterator[Broken]:
        """Nobody but its holder can sign with the key."""
        yield from super().broken_rules()
        if is_weak(PublicKey.from_text(self.public)):
            yield Broken("public", "weak-key", "Anybody can sign for this key; make another one.")


class KeyEndBody(RecordModel):
    """The key that signs nothing more from this place of the log on, and why."""

    shop: Handle = Field(
        description="Handle of the shop whose key it was; of the node itself `node@node-host`.",
        json_schema_extra={"x-source": "RFC 1123 (host name)"},
    )
    key: KeyId = Field(
        description="Id of the key that ends: its RFC 7638 thumbprint, 43 characters.",
        json_schema_extra={"x-source": "RFC 7638, RFC 8037"},
    )
    reason: KeyEndReason = Field(description="Why the key ends.")
    reason_text: Label | None = Field(default=None, description="The reason, when it is `other`.")


class KeyBodyDraft(KeyBody):
    """A public key, as the node takes it up."""

    is_draft: ClassVar[bool] = True


class KeyEndBodyDraft(KeyEndBody):
    """The key that ends, as the node takes it up."""

    is_draft: ClassVar[bool] = True


def foreign_shop(author: str, body: KeyBody | KeyEndBody) -> Iterator[Broken]:
    """Yield the broken rule of a node that speaks for another node's shop."""
    host = node_host(author)
    if node_host(body.shop) != host:
        sentence = f"A node speaks for its own shops only; give a shop of {host}."
        yield Broken("body/shop", "foreign-shop", sentence)


class KeyRecord(ByNode, Plain):
    """One key of one shop, signed by its node."""

    model_config = ConfigDict(json_schema_extra=record_example("key"))

    kind: Literal["key"] = Field(description="Kind of the record.")
    body: KeyBody = Field(description="What the record says.")

    def broken_rules(self) -> Iterator[Broken]:
        """The shop is one of the node's own."""
        yield from super().broken_rules()
        yield from foreign_shop(self.author, self.body)


class KeyEndRecord(ByNode, Plain):
    """The end of one key of one shop, signed by its node."""

    model_config = ConfigDict(json_schema_extra=record_example("key-end"))

    kind: Literal["key-end"] = Field(description="Kind of the record.")
    body: KeyEndBody = Field(description="What the record says.")

    def broken_rules(self) -> Iterator[Broken]:
        """The shop is one of the node's own."""
        yield from super().broken_rules()
        yield from foreign_shop(self.author, self.body)


class KeyDraft(DraftByNode, PlainDraft):
    """One key of one shop, as its node makes it."""

    model_config = ConfigDict(json_schema_extra=draft_example("key"))

    kind: ClassVar[str] = "key"

    body: KeyBodyDraft = Field(description="What the record says.")


class KeyEndDraft(DraftByNode, PlainDraft):
    """The end of one key of one shop, as its node makes it."""

    model_config = ConfigDict(json_schema_extra=draft_example("key-end"))

    kind: ClassVar[str] = "key-end"

    body: KeyEndBodyDraft = Field(description="What the record says.")
