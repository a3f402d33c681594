"""Finds out which shop's program asks: an API key as a bearer token (RFC 6750)."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils import timezone
from rest_framework.authentication import BaseAuthentication, get_authorization_header
from rest_framework.exceptions import AuthenticationFailed
from rest_framework.request import Request

from apps.api.problems import CHALLENGE
from apps.registry import keys
from apps.registry.actors import Actor, Scope
from apps.registry.errors import NotKnown

SCHEME = "Bearer"
MALFORMED = "Send the API key as `Authorization: Bearer KEY`, with one blank between."


@dataclass(frozen=True, slots=True)
class Credential:
    """What a request came with.

    Parameters
    ----------
    prefix : str
        The part of the API key that names it and is no secret.
    scopes : frozenset of Scope
        What the key allows.
    """

    prefix: str
    scopes: frozenset[Scope]


class ApiKeyAuthentication(BaseAuthentication):
    """Reads the bearer token; a request without one goes on as nobody's."""

    def authenticate(self, request: Request) -> tuple[Actor, Credential] | None:
        """Give the actor and the credential.

        Raises
        ------
        AuthenticationFailed
            For a header of another form and for a key that is not valid.
        """
        header = get_authorization_header(request).decode("latin-1")
        if not header:
            return None
        scheme, _, token = header.partition(" ")
        if scheme.lower() != SCHEME.lower() or not token:
            raise AuthenticationFailed(MALFORMED)
        try:
            actor = keys.authenticate(token, now=timezone.now())
        except NotKnown as error:
            raise AuthenticationFailed(error.sentence) from error
        return actor, Credential(token.split("_")[1], actor.scopes)

    def authenticate_header(self, _request: Request) -> str:
        """Give the challenge that goes with 401."""
        return CHALLENGE
