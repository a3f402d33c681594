"""What the registry refuses, each refusal under its own name; nothing here knows HTTP."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import ClassVar

from apps.records.errors import FieldError


class RegistryError(Exception):
    """A refusal that a person can read and mend.

    Parameters
    ----------
    sentence : str
        What is wrong and how to mend it, in whole sentences.
    pointer : str
        JSON Pointer (RFC 6901) into the submitted document; "" for the whole of it.
    submission : int or None
        Which of several submissions it concerns, counted from 0.
    """

    code: ClassVar[str] = "refused"

    def __init__(self, sentence: str, *, pointer: str = "", submission: int | None = None) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.pointer = pointer
        self.submission = submission


class NotKnown(RegistryError):
    """The caller's key is missing, wrong, expired or revoked, so nobody knows who asks."""

    code = "not-known"


class NotAllowed(RegistryError):
    """The caller is known and may not do this."""

    code = "not-allowed"


class UnknownShop(RegistryError):
    """No shop of this name on this node."""

    code = "unknown-shop"


class UnknownTag(RegistryError):
    """No ski is registered under this tag."""

    code = "unknown-tag"


class UnknownRecord(RegistryError):
    """No record has this id."""

    code = "unknown-record"


class UnknownPlace(RegistryError):
    """The log is shorter than that, or the places asked for don't fit each other."""

    code = "unknown-place"


class BrokenTree(RegistryError):
    """The stored hash tree and the log don't agree; nobody's request mends that."""

    code = "broken-tree"


class Erased(RegistryError):
    """The bytes of the record were erased, and it is not taken again."""

    code = "erased"


class NoIdentity(RegistryError):
    """The node has no key of its own yet, so it can sign neither for its shops nor its log."""

    code = "no-identity"


class UnknownKey(RegistryError):
    """No signing key of this id, or none of the shop."""

    code = "unknown-key"


class TagExists(RegistryError):
    """A ski is already registered under this tag."""

    code = "tag-exists"


class ShopExists(RegistryError):
    """A shop of this name is already here."""

    code = "shop-exists"


class BadSignature(RegistryError):
    """The signature is not one of the author's by a key that is valid at this place of the log."""

    code = "bad-signature"


class WrongState(RegistryError):
    """Well formed and allowed, but what is already recorded speaks against it."""

    code = "wrong-state"


class InvalidSetting(RegistryError):
    """A setting of the shop's practice that no bench could mean."""

    code = "invalid-setting"


class KeyLimit(RegistryError):
    """The shop already has as many live keys as it may have."""

    code = "key-limit"


class UnknownPerson(RegistryError):
    """Nobody of this nickname, or nobody of the shop."""

    code = "unknown-person"


class PersonExists(RegistryError):
    """Somebody on this node has the nickname, or somebody of the shop the alias."""

    code = "person-exists"


class LastOwner(RegistryError):
    """The shop would be left without an owner."""

    code = "last-owner"


class WrongPassword(RegistryError):
    """The password that is to be replaced was not the one that was given."""

    code = "wrong-password"


class WeakPassword(RegistryError):
    """A password that others guess soon.

    Parameters
    ----------
    reasons : mapping of str to str
        Sentences by their codes, in the language that is active: `password_too_short`,
        `password_too_common`, `password_entirely_numeric`, `password_too_similar`.
    """

    code = "weak-password"

    def __init__(self, reasons: Mapping[str, str]) -> None:
        self.reasons = dict(reasons)
        super().__init__(" ".join(self.reasons.values()), pointer="/password")


class UnknownShareLink(RegistryError):
    """The shop has no share link of this name."""

    code = "unknown-share-link"


class IdempotencyMismatch(RegistryError):
    """The same idempotency key came with another request."""

    code = "idempotency-mismatch"


class IdempotencyInProgress(RegistryError):
    """The first request with this idempotency key is still under way."""

    code = "idempotency-in-progress"


class StorageBusy(RegistryError):
    """The database can't take the write just now; the same call may succeed later."""

    code = "storage-busy"


class StorageFull(RegistryError):
    """The database has no room left; the operator must make some."""

    code = "storage-full"


class InvalidSubmission(RegistryError):
    """A submission that is no record; all its faults at once.

    Parameters
    ----------
    faults : sequence of FieldError
        Each with pointer, code and sentence.
    submission : int or None
        Which of several submissions it concerns, counted from 0.
    """

    code = "invalid-record"

    def __init__(self, faults: Sequence[FieldError], *, submission: int | None = None) -> None:
        self.faults = tuple(faults)
        first = self.faults[0]
        super().__init__(first.message, pointer=first.pointer, submission=submission)


class Refused(RegistryError):
    """Several refusals of one call; nothing of the call was kept.

    Parameters
    ----------
    errors : sequence of RegistryError
        At least two, in the order of the submissions.
    """

    code = "several"

    def __init__(self, errors: Sequence[RegistryError]) -> None:
        self.errors = tuple(errors)
        super().__init__(" ".join(error.sentence for error in self.errors))


def refusal_of(errors: Sequence[RegistryError]) -> RegistryError:
    """Give what to raise for the errors that were collected, at least one of them."""
    return errors[0] if len(errors) == 1 else Refused(errors)


def raise_all(errors: Sequence[RegistryError]) -> None:
    """Raise what was collected: nothing, the one error itself, or all in one `Refused`.

    Raises
    ------
    RegistryError
        The one error there is.
    Refused
        If there are several.
    """
    if errors:
        raise refusal_of(errors)
