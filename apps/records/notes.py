"""Signed notes: text with signatures below it, as C2SP signed-note and tlog-cosignature say."""

from __future__ import annotations

import base64
import binascii
import hashlib
import re
from dataclasses import dataclass, replace
from enum import IntEnum, StrEnum

from apps.records.errors import MalformedNote
from apps.records.signing import (
    KEY_BYTES,
    SIGNATURE_BYTES,
    PrivateKey,
    PublicKey,
    SignatureReason,
    base64url,
)

MAX_NOTE_BYTES = 65536
MAX_SIGNATURES = 64
KEY_HASH_BYTES = 4
TIME_BYTES = 8
MAX_TIME_S = 2**63 - 1
MARK = "\u2014"

_CONTROL = re.compile("[\x00-\x09\x0b-\x1f]")
_KEY_HASH = re.compile("[0-9a-f]{8}")


class NoteAlgorithm(IntEnum):
    """The signature types of C2SP signed-note that we read and write."""

    ED25519 = 0x01
    COSIGNATURE = 0x04


def base64_text(data: bytes) -> str:
    """Write bytes in padded standard base64 (RFC 4648 section 4)."""
    return base64.b64encode(data).decode("ascii")


def from_base64_text(text: str) -> bytes | None:
    """Read padded base64; None unless the text is the one way to write its bytes."""
    try:
        data = base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError):
        return None
    return data if base64_text(data) == text else None


@dataclass(frozen=True, slots=True)
class VerifierKey:
    """A named public key that signs notes; `text` is its vkey.

    Parameters
    ----------
    name : str
        Without white space or plus, such as `node.example/log`.
    public : PublicKey
    algorithm : NoteAlgorithm
        What its signatures say: the note itself, or a witness's cosignature with its time.

    Raises
    ------
    MalformedNote
        The name can't be one of a key.
    """

    name: str
    public: PublicKey
    algorithm: NoteAlgorithm = NoteAlgorithm.ED25519

    def __post_init__(self) -> None:
        """Refuse a name that would break a line or a vkey."""
        if not self.name or any(c in "+ " or not c.isprintable() for c in self.name):
            raise MalformedNote("The name of a key has no white space and no plus in it.")

    @classmethod
    def from_text(cls, text: str) -> VerifierKey:
        """Read a vkey, `name+key hash+base64 of type and key`.

        Raises
        ------
        MalformedNote
            It is not one, its type is not ours, or its hash is not the one of its key.
        """
        name, key_hash, material = _three_parts(text)
        data = from_base64_text(material)
        if data is None or len(data) != 1 + KEY_BYTES or not _KEY_HASH.fullmatch(key_hash):
            raise MalformedNote("A verifier key reads name+8 hexadecimal digits+base64.")
        key = cls(name, PublicKey(data[1:]), _algorithm(data[0]))
        if key.key_hash.hex() != key_hash:
            raise MalformedNote("The digits of the verifier key are not those of its key.")
        return key

    @property
    def key_hash(self) -> bytes:
        """The four bytes that a signature line names the key by."""
        start = self.name.encode() + b"\n" + bytes([self.algorithm])
        return hashlib.sha256(start + self.public.raw).digest()[:KEY_HASH_BYTES]

    @property
    def text(self) -> str:
        """The vkey."""
        material = base64_text(bytes([self.algorithm]) + self.public.raw)
        return f"{self.name}+{self.key_hash.hex()}+{material}"

    @property
    def as_cosigner(self) -> VerifierKey:
        """The same name and key for cosignatures, under another key hash."""
        return replace(self, algorithm=NoteAlgorithm.COSIGNATURE)


def _three_parts(text: str) -> tuple[str, str, str]:
    # The base64 may hold a plus; the name can't, so that the first two are the ones that part.
    parts = text.split("+", 2)
    if len(parts) != 3:
        raise MalformedNote("A verifier key reads name+8 hexadecimal digits+base64.")
    return parts[0], parts[1], parts[2]


def _algorithm(number: int) -> NoteAlgorithm:
    try:
        return NoteAlgorithm(number)
    except ValueError:
        raise MalformedNote(f"No signature type {number} is known here; use 1 or 4.") from None


@dataclass(frozen=True, slots=True)
class NoteSignature:
    """One signature line.

    Parameters
    ----------
    name : str
        Name of the key.
    key_hash : bytes, shape (4,)
    data : bytes
        The signature; for a cosignature, its time before it.
    """

    name: str
    key_hash: bytes
    data: bytes

    @classmethod
    def from_line(cls, line: str) -> NoteSignature:
        """Read one line without its newline.

        Raises
        ------
        MalformedNote
            It does not read as a dash, a name and base64.
        """
        parts = line.split(" ")
        data = from_base64_text(parts[2]) if len(parts) == 3 and parts[0] == MARK else None
        if data is None or len(data) <= KEY_HASH_BYTES or not parts[1] or "+" in parts[1]:
            raise MalformedNote("A signature line reads: dash, blank, key name, blank, base64.")
        return cls(parts[1], data[:KEY_HASH_BYTES], data[KEY_HASH_BYTES:])

    @property
    def line(self) -> str:
        """The line without its newline."""
        return f"{MARK} {self.name} {base64_text(self.key_hash + self.data)}"


def sign_text(text: str, name: str, private: PrivateKey) -> NoteSignature:
    """Sign the text of a note under a key's name."""
    key = VerifierKey(name, private.public)
    return NoteSignature(name, key.key_hash, private.sign(text.encode()))


def cosign_text(text: str, name: str, private: PrivateKey, *, time_s: int) -> NoteSignature:
    """Say as a witness that this checkpoint was the newest one seen at a time.

    Parameters
    ----------
    text : str
        The text of the checkpoint, with its final newline.
    name : str
        Name of the witness.
    private : PrivateKey
    time_s : int
        POSIX time [s].

    Notes
    -----
    Source: C2SP tlog-cosignature, Ed25519 signed message.
    """
    if not 0 <= time_s <= MAX_TIME_S:
        raise MalformedNote("The time of a cosignature is a POSIX time from 0 up.")
    key = VerifierKey(name, private.public, NoteAlgorithm.COSIGNATURE)
    signature = private.sign(_cosigned_message(text, time_s))
    return NoteSignature(name, key.key_hash, time_s.to_bytes(TIME_BYTES, "big") + signature)


def _cosigned_message(text: str, time_s: int) -> bytes:
    return f"cosignature/v1\ntime {time_s}\n{text}".encode()


class NoteReason(StrEnum):
    """Why a note holds under a key or does not."""

    HOLDS = "holds"
    NOT_SIGNED = "not-signed-by-this-key"
    MALFORMED_SIGNATURE = "malformed-signature"
    DOES_NOT_MATCH = "does-not-match"


NOTE_SENTENCES = {
    NoteReason.HOLDS: "The signature of the note holds.",
    NoteReason.NOT_SIGNED: "The note bears no signature by this key.",
    NoteReason.MALFORMED_SIGNATURE: "The signature by this key has the wrong length.",
    NoteReason.DOES_NOT_MATCH: "The signature by this key does not match the text.",
}


@dataclass(frozen=True, slots=True)
class NoteCheck:
    """Whether a note holds under one key, and why not.

    Parameters
    ----------
    reason : NoteReason
    times_s : tuple of int
        When a witness says it saw the checkpoint: POSIX times [s]; empty for a plain signature.
    """

    reason: NoteReason
    times_s: tuple[int, ...] = ()

    @property
    def holds(self) -> bool:
        """True only if there is a signature by the key and every one of them matches."""
        return self.reason is NoteReason.HOLDS

    @property
    def sentence(self) -> str:
        """The reason in plain words."""
        return NOTE_SENTENCES[self.reason]


@dataclass(frozen=True, slots=True)
class Note:
    """A text and the signatures under it.

    Parameters
    ----------
    text : str
        Ends in a newline; nothing in it is to be believed before `check`.
    signatures : tuple of NoteSignature
    """

    text: str
    signatures: tuple[NoteSignature, ...] = ()

    @classmethod
    def from_bytes(cls, data: bytes) -> Note:
        """Read a signed note.

        Raises
        ------
        MalformedNote
            It is too long, not UTF-8, holds control characters, or has no signature.
        """
        whole = _plain_text(data)
        text, gap, block = whole.rpartition("\n\n")
        lines = block.split("\n")
        if not gap or lines.pop() or not lines:
            raise MalformedNote("A note is text, an empty line, and lines of signatures.")
        if len(lines) > MAX_SIGNATURES:
            raise MalformedNote(f"A note has {MAX_SIGNATURES} signatures at most.")
        return cls(f"{text}\n", tuple(NoteSignature.from_line(line) for line in lines))

    @property
    def data(self) -> bytes:
        """The whole note as it is sent."""
        lines = "".join(f"{signature.line}\n" for signature in self.signatures)
        return f"{self.text}\n{lines}".encode()

    def with_signature(self, signature: NoteSignature) -> Note:
        """Give the note with one more signature, which stands in it once."""
        others = tuple(one for one in self.signatures if one != signature)
        return replace(self, signatures=(*others, signature))

    def check(self, key: VerifierKey) -> NoteCheck:
        """Check every signature that names this key; those of other keys don't count."""
        own = [s for s in self.signatures if (s.name, s.key_hash) == (key.name, key.key_hash)]
        checks = [_check(self.text, signature, key) for signature in own]
        for check in checks:
            if not check.holds:
                return check
        if not checks:
            return NoteCheck(NoteReason.NOT_SIGNED)
        return NoteCheck(NoteReason.HOLDS, tuple(t for check in checks for t in check.times_s))


def _plain_text(data: bytes) -> str:
    if len(data) > MAX_NOTE_BYTES:
        raise MalformedNote(f"A note has {MAX_NOTE_BYTES} bytes at most.")
    try:
        text = data.decode()
    except UnicodeDecodeError:
        raise MalformedNote("A note is UTF-8; these bytes are not.") from None
    if _CONTROL.search(text):
        raise MalformedNote("A note holds no control characters but newlines.")
    return text


def _check(text: str, signature: NoteSignature, key: VerifierKey) -> NoteCheck:
    if key.algorithm is NoteAlgorithm.ED25519:
        return NoteCheck(_matches(key.public, text.encode(), signature.data))
    if len(signature.data) != TIME_BYTES + SIGNATURE_BYTES:
        return NoteCheck(NoteReason.MALFORMED_SIGNATURE)
    time_s = int.from_bytes(signature.data[:TIME_BYTES], "big")
    if time_s > MAX_TIME_S:
        return NoteCheck(NoteReason.MALFORMED_SIGNATURE)
    message = _cosigned_message(text, time_s)
    return NoteCheck(_matches(key.public, message, signature.data[TIME_BYTES:]), (time_s,))


REASONS = {
    SignatureReason.HOLDS: NoteReason.HOLDS,
    SignatureReason.MALFORMED: NoteReason.MALFORMED_SIGNATURE,
    SignatureReason.DOES_NOT_MATCH: NoteReason.DOES_NOT_MATCH,
}


def _matches(public: PublicKey, message: bytes, signature: bytes) -> NoteReason:
    return REASONS[public.verify(message, base64url(signature)).reason]
