"""A record that a shop signed itself: from the request's document to the door."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

from apps.api.key_requests import SignedRecord
from apps.api.problem_types import WRONG_ID
from apps.api.problems import Problem
from apps.records.canonical import canonical_bytes, record_id
from apps.records.errors import InvalidRecord
from apps.registry.actors import Actor
from apps.registry.door import append_records
from apps.registry.errors import BadSignature, InvalidSubmission, Refused, RegistryError
from apps.registry.submissions import Appended, Submission

RECORD = "/record"
SIGNATURE = "/signature"


def put_record(signed: SignedRecord, named: str, *, by: Actor) -> Appended:
    """Append a signed record under the id that the address names.

    Raises
    ------
    Problem
        `wrong-id`.
    InvalidRecord, RegistryError
        With pointers into the request's document.
    """
    with pointing_into_record():
        data = canonical_bytes(signed.record)
        id_ = record_id(data)
        if id_ != named:
            raise wrong_id(id_)
        submission = Submission(data=data, signature=signed.signature)
        (appended,) = append_records(submissions=[submission], by=by)
    return appended


def wrong_id(record_id: str) -> Problem:
    """The problem of a record that was put under the id of another one."""
    return Problem(WRONG_ID, f"The record has the id {record_id}. Put it there.")


@contextmanager
def pointing_into_record() -> Iterator[None]:
    """Place errors of a record where it stands in the request."""
    try:
        yield
    except InvalidRecord as error:
        placed = (replace(one, pointer=f"{RECORD}{one.pointer}") for one in error.errors)
        raise InvalidRecord(*placed) from error
    except RegistryError as error:
        for one in error.errors if isinstance(error, Refused) else (error,):
            _place(one)
        raise


def _place(error: RegistryError) -> None:
    if isinstance(error, InvalidSubmission):
        error.faults = tuple(replace(one, pointer=f"{RECORD}{one.pointer}") for one in error.faults)
    elif isinstance(error, BadSignature) and not error.pointer:
        error.pointer = SIGNATURE
    elif error.pointer:
        error.pointer = f"{RECORD}{error.pointer}"
