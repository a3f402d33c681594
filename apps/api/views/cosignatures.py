"""Peers vouch for what they saw of the log."""

from __future__ import annotations

from collections.abc import Mapping

from rest_framework.request import Request
from rest_framework.response import Response

from apps.api import contract_cosignatures
from apps.api.bodies import read_body
from apps.api.cosignature_request import NewCosignature
from apps.api.operations import Operation
from apps.api.parsing import required_body_of
from apps.api.views.base import ApiView
from apps.exchange.peers.cosigning import take_cosignature


class Cosignatures(ApiView):
    """The cosignatures of peers."""

    operations: Mapping[str, Operation] = {"POST": contract_cosignatures.COSIGN}

    def post(self, request: Request) -> Response:
        """Keep one."""
        given = read_body(required_body_of(request).document, NewCosignature)
        kept = take_cosignature(given.note.encode())
        return Response({"witness": kept.witness, "size": kept.size})
