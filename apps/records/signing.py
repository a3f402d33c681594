"""Ed25519 keys and signatures over canonical bytes, and the key's id (RFC 8032, 8037, 7638)."""

from __future__ import annotations

import base64
import binascii
import hashlib
from dataclasses import dataclass
from enum import StrEnum

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

from apps.records.canonical import canonical_bytes
from apps.records.errors import MalformedKey

KEY_BYTES = 32
SIGNATURE_BYTES = 64


class SignatureReason(StrEnum):
    """Why a signature holds or does not."""

    HOLDS = "holds"
    MALFORMED = "malformed"
    DOES_NOT_MATCH = "does-not-match"


@dataclass(frozen=True, slots=True)
class SignatureCheck:
    """Whether a signature holds, and why not."""

    reason: SignatureReason

    @property
    def holds(self) -> bool:
        """True only for a signature made with this key over exactly these bytes."""
        return self.reason is SignatureReason.HOLDS


def base64url(data: bytes) -> str:
    """Write bytes in base64url without padding (RFC 4648 section 5)."""
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode("ascii")


def from_base64url(text: str) -> bytes | None:
    """Read unpadded base64url; None unless the text is the one way to write its bytes."""
    try:
        data = base64.b64decode(text + "=" * (-len(text) % 4), altchars=b"-_", validate=True)
    except (binascii.Error, ValueError):
        return None
    return data if base64url(data) == text else None


@dataclass(frozen=True, slots=True)
class PublicKey:
    """An Ed25519 public key.

    Parameters
    ----------
    raw : bytes, shape (32,)
        The key as RFC 8032 writes it.
    """

    raw: bytes

    def __post_init__(self) -> None:
        """Refuse bytes of another length."""
        if len(self.raw) != KEY_BYTES:
            raise MalformedKey(f"An Ed25519 key has {KEY_BYTES} bytes, not {len(self.raw)}.")

    @classmethod
    def from_text(cls, text: str) -> PublicKey:
        """Read the key from base64url, the `x` of its JWK.

        Raises
        ------
        MalformedKey
            The text is not unpadded base64url of 32 bytes.
        """
        raw = from_base64url(text)
        if raw is None:
            raise MalformedKey("Write the key in base64url without padding, 43 characters.")
        return cls(raw)

    @property
    def text(self) -> str:
        """The key in base64url, the `x` of its JWK."""
        return base64url(self.raw)

    @property
    def jwk(self) -> dict[str, str]:
        """The key as a JSON Web Key (RFC 8037 section 2)."""
        return {"crv": "Ed25519", "kty": "OKP", "x": self.text}

    @property
    def key_id(self) -> str:
        """The RFC 7638 thumbprint: SHA-256 of the canonical JWK, in base64url."""
        return base64url(hashlib.sha256(canonical_bytes(self.jwk)).digest())

    def verify(self, data: bytes, signature: str) -> SignatureCheck:
        """Check a signature in its text form over the bytes.

        Parameters
        ----------
        data : bytes
            The canonical bytes of the record.
        signature : str
            Base64url without padding, 86 characters.
        """
        raw = from_base64url(signature)
        if raw is None or len(raw) != SIGNATURE_BYTES:
            return SignatureCheck(SignatureReason.MALFORMED)
        try:
            Ed25519PublicKey.from_public_bytes(self.raw).verify(raw, data)
        except InvalidSignature:
            return SignatureCheck(SignatureReason.DOES_NOT_MATCH)
        return SignatureCheck(SignatureReason.HOLDS)


class PrivateKey:
    """An Ed25519 private key; it never shows its secret in a traceback or a log."""

    __slots__ = ("_key",)

    def __init__(self, key: Ed25519PrivateKey) -> None:
        """Wrap a key of the cryptography package."""
        self._key = key

    @classmethod
    def generate(cls) -> PrivateKey:
        """Make a new key from the system's randomness."""
        return cls(Ed25519PrivateKey.generate())

    @classmethod
    def from_seed(cls, seed: bytes) -> PrivateKey:
        """Make the key that follows from a seed of 32 bytes.

        Raises
        ------
        MalformedKey
            The seed has another length.
        """
        if len(seed) != KEY_BYTES:
            raise MalformedKey(f"An Ed25519 seed has {KEY_BYTES} bytes, not {len(seed)}.")
        return cls(Ed25519PrivateKey.from_private_bytes(seed))

    def __repr__(self) -> str:
        return f"<PrivateKey {self.key_id}>"

    @property
    def seed(self) -> bytes:
        """The secret seed, shape (32,); for the node's own store only."""
        return self._key.private_bytes_raw()

    @property
    def public(self) -> PublicKey:
        """The public key."""
        return PublicKey(self._key.public_key().public_bytes_raw())

    @property
    def key_id(self) -> str:
        """The id of the public key."""
        return self.public.key_id

    def sign(self, data: bytes) -> bytes:
        """Sign canonical bytes; gives 64 bytes (RFC 8032 section 5.1.6)."""
        return self._key.sign(data)

    def sign_text(self, data: bytes) -> str:
        """Sign canonical bytes; gives base64url without padding, 86 characters."""
        return base64url(self.sign(data))


def key_id(public: PublicKey) -> str:
    """Give the id of a public key: its RFC 7638 thumbprint, 43 characters."""
    return public.key_id
