"""Signed notes, checkpoints and cosignatures, by docs/format/log.md."""

from __future__ import annotations

import base64
import binascii
import hashlib
import re
from dataclasses import dataclass

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from tests.format.documents import base64url, need
from tests.format.keys import holds, public

NOTE, COSIGNATURE = 1, 4
DASH = "\u2014"


def base64_of(data: bytes) -> str:
    """Write padded base64."""
    return base64.b64encode(data).decode("ascii")


def unbase64(text: str) -> bytes:
    """Read padded base64; only the one way to write it counts."""
    try:
        data = base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError):
        data = b""
    need(data and base64_of(data) == text, "no base64")
    return data


def key_hash(name: str, raw: bytes, algorithm: int = NOTE) -> bytes:
    """Give the four bytes by which a line names its key."""
    return hashlib.sha256(f"{name}\n".encode() + bytes([algorithm]) + raw).digest()[:4]


def vkey(name: str, raw: bytes, algorithm: int = NOTE) -> str:
    """Write a verifier key."""
    material = base64_of(bytes([algorithm]) + raw)
    return f"{name}+{key_hash(name, raw, algorithm).hex()}+{material}"


def read_vkey(text: str) -> tuple[str, bytes]:
    """Read a verifier key of the plain type: its name and the public key."""
    parts = text.split("+", 2)
    need(len(parts) == 3 and parts[0] and " " not in parts[0], "no verifier key")
    material = unbase64(parts[2])
    need(len(material) == 33 and material[0] == NOTE, "another type of key")
    need(vkey(parts[0], material[1:]) == text, "another key hash")
    return parts[0], material[1:]


def signed(text: str, name: str, key: Ed25519PrivateKey) -> str:
    """Give the line of a signature under a text."""
    data = key_hash(name, public(key)) + key.sign(text.encode())
    return f"{DASH} {name} {base64_of(data)}"


def cosigned_bytes(text: str, time_s: int) -> bytes:
    """Give what a witness signs."""
    return f"cosignature/v1\ntime {time_s}\n{text}".encode()


def cosigned(text: str, name: str, key: Ed25519PrivateKey, time_s: int) -> str:
    """Give the line of a witness."""
    stamp = time_s.to_bytes(8, "big")
    data = key_hash(name, public(key), COSIGNATURE) + stamp + key.sign(cosigned_bytes(text, time_s))
    return f"{DASH} {name} {base64_of(data)}"


@dataclass(frozen=True)
class Note:
    """A text, and the key name, key hash and signature of each line under it."""

    text: str
    lines: tuple[tuple[str, bytes, bytes], ...]

    def signed_by(self, name: str, raw: bytes) -> bool:
        """Say whether the key signed the text, and nothing under its name is wrong."""
        own = self._by(name, key_hash(name, raw))
        return bool(own) and all(holds(raw, self.text.encode(), base64url(one)) for one in own)

    def seen_by(self, name: str, raw: bytes) -> list[int]:
        """Give the times at which a witness says it saw the text; none if one is wrong."""
        own = self._by(name, key_hash(name, raw, COSIGNATURE))
        times = [int.from_bytes(one[:8], "big") for one in own]
        pairs = zip(own, times, strict=True)
        good = all(holds(raw, cosigned_bytes(self.text, t), base64url(one[8:])) for one, t in pairs)
        return times if good else []

    def _by(self, name: str, hashed: bytes) -> list[bytes]:
        return [data for *line, data in self.lines if line == [name, hashed]]


def read_note(whole: str) -> Note:
    """Read a signed note."""
    need(len(whole.encode()) <= 65_536, "too long")
    need(not re.search("[\x00-\x09\x0b-\x1f]", whole), "control characters")
    text, gap, block = whole.rpartition("\n\n")
    lines = block.split("\n")
    need(gap and lines.pop() == "" and 1 <= len(lines) <= 64, "no signed note")
    return Note(f"{text}\n", tuple(map(_line, lines)))


def _line(line: str) -> tuple[str, bytes, bytes]:
    parts = line.split(" ")
    need(len(parts) == 3 and parts[0] == DASH and parts[1] and "+" not in parts[1], "no line")
    data = unbase64(parts[2])
    need(len(data) > 4, "no signature")
    return parts[1], data[:4], data[4:]


def checkpoint_text(origin: str, size: int, top: bytes) -> str:
    """Write the text of a checkpoint."""
    return f"{origin}\n{size}\n{base64_of(top)}\n"


def read_checkpoint(text: str) -> tuple[str, int, bytes]:
    """Read the text of a checkpoint: origin, size, root."""
    lines = text.split("\n")
    need(lines.pop() == "" and len(lines) >= 3 and all(lines), "no checkpoint")
    need(re.fullmatch("0|[1-9][0-9]{0,18}", lines[1], re.ASCII), "no size")
    need(int(lines[1]) < 2**63, "no size")
    top = unbase64(lines[2])
    need(len(top) == 32, "no root")
    return lines[0], int(lines[1]), top
