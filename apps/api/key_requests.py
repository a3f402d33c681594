"""What a shop sends to register a signing key, to end one, and to hand in a signed record."""

from __future__ import annotations

from typing import Any, ClassVar

from pydantic import ConfigDict, Field

from apps.api.answers.records import EXAMPLE_SIGNATURE
from apps.records.examples import example_record
from apps.records.exchange_words import KeyEndReason
from apps.records.model import RecordModel
from apps.records.primitives import Label, PublicKeyText, SignatureText

# The public key is that of RFC 8032 section 7.1, test 1.
KEY_EXAMPLE: dict[str, Any] = {
    "public": "11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo",
    "proof": EXAMPLE_SIGNATURE,
}
END_EXAMPLE: dict[str, Any] = {"reason": "stolen"}
SIGNED_EXAMPLE: dict[str, Any] = {
    "record": example_record("usage"),
    "signature": KEY_EXAMPLE["proof"],
}


class NewKey(RecordModel):
    """A public key that the shop holds the private half of."""

    model_config = ConfigDict(json_schema_extra={"examples": [KEY_EXAMPLE]})

    is_draft: ClassVar[bool] = True

    public: PublicKeyText = Field(description="The Ed25519 public key in base64url, 43 characters.")
    proof: SignatureText = Field(
        description="Signature by this key over the ASCII bytes of two lines, each ended by a "
        "line feed: `ski-service-registry key v1` and the handle of the shop. Base64url, 86 "
        "characters."
    )


class KeyEnding(RecordModel):
    """Why a key is to end."""

    model_config = ConfigDict(json_schema_extra={"examples": [END_EXAMPLE]})

    is_draft: ClassVar[bool] = True

    reason: KeyEndReason = Field(description="Why the key ends.")
    reason_text: Label | None = Field(default=None, description="The reason, when it is `other`.")


class SignedRecord(RecordModel):
    """A record that a shop made and signed itself."""

    model_config = ConfigDict(json_schema_extra={"examples": [SIGNED_EXAMPLE]})

    is_draft: ClassVar[bool] = True

    record: dict[str, Any] = Field(
        description="The record, whole, in any layout; what counts are its canonical bytes."
    )
    signature: SignatureText = Field(
        description="Ed25519 signature of the canonical bytes, base64url, 86 characters."
    )
