"""What can be wrong with a record, as a small tree of named errors without HTTP."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class FieldError:
    """One thing to mend.

    Parameters
    ----------
    pointer : str
        JSON Pointer (RFC 6901) to the place; "" is the whole document.
    code : str
        Stable word for the kind of error.
    message : str
        A sentence that names the mend.
    """

    pointer: str
    code: str
    message: str


class RecordError(Exception):
    """Base of every error of the room."""


class InvalidRecord(RecordError):
    """The document is not a record or draft; carries all that is wrong at once."""

    def __init__(self, *errors: FieldError) -> None:
        """Keep the errors in the order they were found."""
        super().__init__("; ".join(f"{e.pointer or '/'}: {e.message}" for e in errors))
        self.errors: tuple[FieldError, ...] = errors


class MalformedJson(InvalidRecord):
    """The bytes are not the strict JSON that the schema allows."""


class TooLarge(InvalidRecord):
    """The document has more bytes than allowed."""


class NotCanonical(InvalidRecord):
    """The document is a record, but its bytes are not the canonical form."""


class MalformedKey(RecordError):
    """The bytes or text given are not an Ed25519 key."""


class OutsideTree(RecordError):
    """The index, the sizes or the hashes given do not fit any hash tree."""


class MalformedNote(RecordError):
    """The text is not a signed note, not a checkpoint, or not a verifier key."""


def pointer_of(*parts: str | int) -> str:
    """Write a JSON Pointer (RFC 6901) from member names and indexes."""
    return "".join(f"/{str(part).replace('~', '~0').replace('/', '~1')}" for part in parts)
