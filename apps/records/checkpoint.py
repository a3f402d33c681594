"""Checkpoints of the log: origin, size and root in a signed note (C2SP tlog-checkpoint)."""

from __future__ import annotations

import re
from dataclasses import dataclass

from apps.records.errors import MalformedNote
from apps.records.notes import (
    Note,
    NoteCheck,
    VerifierKey,
    base64_text,
    from_base64_text,
    sign_text,
)
from apps.records.signing import PrivateKey
from apps.records.tree import HASH_BYTES

MAX_SIZE = 2**63 - 1

_SIZE = re.compile("0|[1-9][0-9]{0,18}", re.ASCII)


def log_origin(node_host: str) -> str:
    """Give the origin of a node's log, which is the name of its key too."""
    return f"{node_host}/log"


def origin_host(origin: str) -> str:
    """Give the host of the node that a log's origin names."""
    return origin.removesuffix("/log")


@dataclass(frozen=True, slots=True)
class Checkpoint:
    """What a log says of itself: so many records, and this root over them.

    Parameters
    ----------
    origin : str
        Name of the log, such as `node.example/log`.
    size : int
        Records in it.
    root : bytes, shape (32,)
        The RFC 6962 root over their ids.
    extension : tuple of str
        Further lines, which this version does not understand and keeps.
    """

    origin: str
    size: int
    root: bytes
    extension: tuple[str, ...] = ()

    @classmethod
    def from_text(cls, text: str) -> Checkpoint:
        """Read the text of a checkpoint, the part of the note above its empty line.

        Raises
        ------
        MalformedNote
            It is not origin, size and root on a line each.
        """
        lines = text.split("\n")
        if lines.pop() or len(lines) < 3 or not all(lines):
            raise MalformedNote("A checkpoint has three lines or more: origin, size and root.")
        origin, size, root_text, *extension = lines
        root = from_base64_text(root_text)
        if root is None or len(root) != HASH_BYTES:
            raise MalformedNote("The third line of a checkpoint is the base64 of 32 bytes.")
        return cls(origin, _size(size), root, tuple(extension))

    @property
    def text(self) -> str:
        """The text that is signed, with its final newline."""
        lines = (self.origin, str(self.size), base64_text(self.root), *self.extension)
        return "".join(f"{line}\n" for line in lines)

    def signed(self, private: PrivateKey) -> Note:
        """Give the note, signed by the log's key under the name of its origin."""
        return Note(self.text, (sign_text(self.text, self.origin, private),))


def _size(text: str) -> int:
    if not _SIZE.fullmatch(text) or int(text) > MAX_SIZE:
        raise MalformedNote("The second line of a checkpoint is its size, a whole number.")
    return int(text)


@dataclass(frozen=True, slots=True)
class CheckpointReading:
    """A checkpoint as it came, and whether its key and its origin are the ones expected.

    Parameters
    ----------
    note : Note
    checkpoint : Checkpoint
        Not to be believed unless `holds`.
    check : NoteCheck
        Of the signature by the key.
    origin_matches : bool
        The origin is the name of the key.
    """

    note: Note
    checkpoint: Checkpoint
    check: NoteCheck
    origin_matches: bool

    @property
    def holds(self) -> bool:
        """True only for a checkpoint of this log, signed by its key."""
        return self.check.holds and self.origin_matches

    @property
    def sentence(self) -> str:
        """Why it holds or does not, in plain words."""
        if not self.origin_matches:
            return "The checkpoint is of another log than the key's."
        return self.check.sentence


def read_checkpoint(data: bytes, key: VerifierKey) -> CheckpointReading:
    """Read a signed checkpoint and check it under the key of its log.

    Parameters
    ----------
    data : bytes
        The note, with the cosignatures of witnesses or without.
    key : VerifierKey
        The log's key; its name is the origin that the checkpoint must have.

    Raises
    ------
    MalformedNote
        It is no note, or its text no checkpoint.
    """
    note = Note.from_bytes(data)
    checkpoint = Checkpoint.from_text(note.text)
    return CheckpointReading(note, checkpoint, note.check(key), checkpoint.origin == key.name)
