"""Passwords that the node makes: read once, typed once, changed by the person."""

from __future__ import annotations

import secrets

# No letters that are taken for each other when read off a screen.
ALPHABET = "abcdefghjkmnpqrstuvwxyz23456789"
GROUPS, GROUP = 4, 5


def new_password() -> str:
    """Make a password of about 99 random bits, in groups that are easy to type."""
    return "-".join("".join(secrets.choice(ALPHABET) for _ in range(GROUP)) for _ in range(GROUPS))
