"""The secrets that let a shop's programs in: made once, shown once, compared by digest."""

from __future__ import annotations

import hashlib
import hmac
import re
import secrets
from dataclasses import dataclass
from datetime import datetime

from apps.registry.actors import Actor, Scope
from apps.registry.errors import NotKnown
from apps.registry.models import ApiKey

# A fixed beginning lets a scan for leaked secrets find ours.
BEGINNING = "skireg"
PREFIX_ALPHABET = "abcdefghijklmnopqrstuvwxyz234567"
PREFIX_LENGTH = 8
SECRET_BYTES = 32
PREFIX = re.compile(rf"[a-z2-7]{{{PREFIX_LENGTH}}}", re.ASCII)

UNKNOWN = "This API key is not valid here. Check that it is whole, or ask the shop for a new one."


@dataclass(frozen=True, slots=True)
class NewSecret:
    """A secret as it is shown once, and what is kept of it."""

    token: str
    prefix: str
    digest: str


def new_secret(beginning: str = BEGINNING) -> NewSecret:
    """Make a secret from 256 random bits; its beginning says what it opens."""
    prefix = "".join(secrets.choice(PREFIX_ALPHABET) for _ in range(PREFIX_LENGTH))
    secret = secrets.token_urlsafe(SECRET_BYTES)
    return NewSecret(f"{beginning}_{prefix}_{secret}", prefix, digest_of(secret))


def read_token(token: str, beginning: str = BEGINNING) -> tuple[str, str] | None:
    """Part a token into the name of what it opens and its secret; None for what is no token."""
    form = rf"{beginning}_({PREFIX.pattern})_([A-Za-z0-9_-]{{43}})"
    matched = re.fullmatch(form, token, re.ASCII)
    return None if matched is None else (matched[1], matched[2])


def digest_of(secret: str) -> str:
    """Give what is kept of a secret.

    One round of SHA-256 is enough: a slow hash protects what people choose and others guess, and
    256 random bits can't be guessed at any speed, while every request would pay for the slowness.
    """
    return hashlib.sha256(secret.encode()).hexdigest()


def authenticate(token: str, *, now: datetime) -> Actor:
    """Find who comes with a token.

    Raises
    ------
    NotKnown
        If it is malformed, unknown, expired or revoked; which of these is not told.
    """
    parts = read_token(token)
    if parts is None:
        raise NotKnown(UNKNOWN)
    prefix, secret = parts
    key = ApiKey.objects.live(now).filter(prefix=prefix).first()
    if key is None or not hmac.compare_digest(key.digest, digest_of(secret)):
        raise NotKnown(UNKNOWN)
    return Actor(handle=key.shop_id, scopes=frozenset(Scope(s) for s in key.scopes.split()))
