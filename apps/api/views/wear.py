"""The wear of a ski; computed, and nothing is stored."""

from __future__ import annotations

from collections.abc import Mapping

from rest_framework.request import Request
from rest_framework.response import Response

from apps.api import contract_wear
from apps.api.operations import Operation
from apps.api.views.base import ApiView
from apps.api.views.skis import find_ski
from apps.api.wear import WearQuery, wear_answer


class SkiWear(ApiView):
    """How fast a ski wears, and how long it will last."""

    operations: Mapping[str, Operation] = {"GET": contract_wear.WEAR}

    def get(self, request: Request, shop: str, tag: str) -> Response:
        """Compute it."""
        actor = self.actor(request)
        found = find_ski(shop, tag, by=actor)
        return Response(wear_answer(found, self.query_as(WearQuery), asking=actor.handle))
