"""The two skis of a pair; computed, and nothing is stored."""

from __future__ import annotations

from collections.abc import Mapping

from rest_framework.request import Request
from rest_framework.response import Response

from apps.api import contract_pairs
from apps.api.joined import LinksQuery, find_joined
from apps.api.operations import Operation
from apps.api.pairs import latest_pair, pair_answer
from apps.api.views.base import ApiView
from apps.registry.pairings import pairs_of


class SkiPair(ApiView):
    """A ski beside the one it is used together with."""

    operations: Mapping[str, Operation] = {"GET": contract_pairs.PAIR}

    def get(self, request: Request, shop: str, tag: str) -> Response:
        """Compare the two."""
        actor, query = self.actor(request), self.query_as(LinksQuery)
        ski = find_joined(shop, tag, query, by=actor)
        pairs = pairs_of(ski)
        latest = latest_pair(ski.tag, pairs)
        other = find_joined(latest.shop, latest.tag, query, by=actor)
        return Response(pair_answer(ski, other, pairs, asking=actor.handle))
