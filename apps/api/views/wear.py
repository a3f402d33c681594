"""The wear of a ski; computed, and nothing is stored."""

from __future__ import annotations

from collections.abc import Mapping

from rest_framework.request import Request
from rest_framework.response import Response

from apps.api import contract_wear
from apps.api.joined import find_joined
from apps.api.operations import Operation
from apps.api.views.base import ApiView
from apps.api.wear import WearQuery, wear_answer


class SkiWear(ApiView):
    """How fast a ski wears, and how long it will last."""

    operations: Mapping[str, Operation] = {"GET": contract_wear.WEAR}

    def get(self, request: Request, shop: str, tag: str) -> Response:
        """Compute it."""
        actor, query = self.actor(request), self.query_as(WearQuery)
        ski = find_joined(shop, tag, query, by=actor)
        return Response(wear_answer(ski, query, asking=actor.handle))
