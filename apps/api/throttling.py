"""Slows down whoever asks too often: by API key and kind of route, or by address without a key."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.conf import settings
from rest_framework.request import Request
from rest_framework.throttling import SimpleRateThrottle

if TYPE_CHECKING:
    from rest_framework.views import APIView

WITHOUT_KEY = "unknown"


class PerKeyAndRoute(SimpleRateThrottle):
    """Counts each API key's reads, writes and computed answers apart."""

    def __init__(self) -> None:
        """Wait with the rate until the request says which one applies."""

    def allow_request(self, request: Request, view: APIView) -> bool:
        """Say whether the request may go on, and count it."""
        self.scope = WITHOUT_KEY if request.auth is None else cost_of(view, request)
        # Read at each request and not from the class, so that settings changed in a test count.
        rates: Any = settings.REST_FRAMEWORK["DEFAULT_THROTTLE_RATES"]
        self.rate = rates[self.scope]
        self.num_requests, self.duration = self.parse_rate(self.rate)
        return bool(super().allow_request(request, view))

    def get_cache_key(self, request: Request, _view: APIView) -> str:
        """Name the counter: the key's prefix, or the address."""
        credential: Any = request.auth
        ident = self.get_ident(request) if credential is None else credential.prefix
        return self.cache_format % {"scope": self.scope, "ident": ident}


def cost_of(view: Any, request: Request) -> str:
    """The kind of route: read, write or compute."""
    operation = view.operation_of(request)
    return operation.cost if operation is not None else "read"
