"""Where a page of a fleet begins, written so that only places of that list and order are read."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.core.signing import BadSignature, Signer

from apps.registry.errors import UnknownPlace


def write_place(sort: str, value: object, ski: str) -> str:
    """Write the place after a ski, signed.

    Parameters
    ----------
    sort : str
        The order of the list.
    value : object
        What the list is sorted by, of that ski.
    ski : str
        Its key.
    """
    kept = value.isoformat() if isinstance(value, date) else value
    return _signer(sort).sign_object([kept, ski])


def read_place(sort: str, after: str, *, within: str) -> tuple[Any, str]:
    """Read the value and the key of the ski that a page begins after.

    Parameters
    ----------
    sort : str
        The order of the list.
    after : str
        As `write_place` gave it.
    within : str
        Handle of the shop whose list it is.

    Raises
    ------
    UnknownPlace
        For a place of another list or order, or one that was changed.
    """
    try:
        value, ski = _signer(sort).unsign_object(after)
    except (BadSignature, ValueError, UnicodeError):
        raise UnknownPlace(_SENTENCE) from None
    if not ski.startswith(f"{within}/"):
        raise UnknownPlace(_SENTENCE)
    return value, ski


_SENTENCE = "This is no place in this list; begin again at its first page."


def _signer(sort: str) -> Signer:
    return Signer(salt=f"fleet {sort}")
