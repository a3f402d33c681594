"""What a node can do, at the well-known address (RFC 8615)."""

from __future__ import annotations

from collections.abc import Mapping

from rest_framework.request import Request
from rest_framework.response import Response

from apps.api.capabilities import capabilities
from apps.api.contract_capabilities import READ
from apps.api.operations import Operation
from apps.api.views.about import PublicView


class Capabilities(PublicView):
    """The capabilities."""

    operations: Mapping[str, Operation] = {"GET": READ}

    def get(self, _request: Request) -> Response:
        """Show them."""
        return Response(capabilities())
