"""Signs messages by Standard Webhooks 1.0.0, so that a receiver knows who wrote them."""

from __future__ import annotations

import base64
import hashlib
import hmac
import secrets
from collections.abc import Mapping

BEGINNING = "whsec_"
# Between the 24 and 64 bytes that the specification allows.
SECRET_BYTES = 32
VERSION = "v1"


def new_secret() -> str:
    """Make a secret: 256 random bits in base64, after the beginning that names them."""
    return BEGINNING + base64.b64encode(secrets.token_bytes(SECRET_BYTES)).decode("ascii")


def sign(secret: str, *, message: str, moment: int, body: bytes) -> str:
    """Sign one message.

    Parameters
    ----------
    secret : str
        As the receiver has it, with its beginning.
    message : str
        Id of the message; it holds no full stop, since full stops part what is signed.
    moment : int
        When this try was made [s since 1970 in UTC].
    body : bytes
        Exactly what is sent.

    Returns
    -------
    str
        The value of the header ``webhook-signature``.

    Notes
    -----
    Source: Standard Webhooks 1.0.0, "Signature scheme".
    """
    key = base64.b64decode(secret.removeprefix(BEGINNING), validate=True)
    signed = f"{message}.{moment}.".encode("ascii") + body
    digest = hmac.new(key, signed, hashlib.sha256).digest()
    return f"{VERSION},{base64.b64encode(digest).decode('ascii')}"


def headers_of(secret: str, *, message: str, moment: int, body: bytes) -> Mapping[str, str]:
    """Give the three headers of a message (Standard Webhooks 1.0.0, "Webhook headers")."""
    return {
        "webhook-id": message,
        "webhook-timestamp": str(moment),
        "webhook-signature": sign(secret, message=message, moment=moment, body=body),
    }
