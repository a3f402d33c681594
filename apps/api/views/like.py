"""What benches know of like skis: of a ski by its tag, or of a model by its name."""

from __future__ import annotations

from collections.abc import Mapping

from rest_framework.request import Request
from rest_framework.response import Response

from apps.api import contract_like
from apps.api.addresses import read_ski, where_the_ski_is_named
from apps.api.contract_like import LikeQuery
from apps.api.like import like_answer, ski_like_answer
from apps.api.operations import Operation
from apps.api.views.base import ApiView
from apps.records.place import SkiTag
from apps.registry.actions import look_up_tag
from apps.registry.like_search import described_ski, find_like


class LikeSkis(ApiView):
    """Skis like what the parameters say."""

    operations: Mapping[str, Operation] = {"GET": contract_like.LIKE}

    def get(self, request: Request) -> Response:
        """Pool what is stated of them."""
        asked = self.query_as(LikeQuery).described()
        return Response(like_answer(find_like(asked, asker=self.actor(request).handle)))


class SkiLike(ApiView):
    """Skis like one."""

    operations: Mapping[str, Operation] = {"GET": contract_like.SKI_LIKE}

    def get(self, request: Request, shop: str, tag: str) -> Response:
        """Pool what is stated of them; the ski itself doesn't count."""
        actor = self.actor(request)
        named = read_ski(shop, tag)
        with where_the_ski_is_named():
            ski = look_up_tag(shop=named.shop, tag=named.tag, by=actor)
        cluster = ski.ski.cluster
        found = find_like(described_ski(cluster), asker=actor.handle, without=cluster)
        return Response(ski_like_answer(found, SkiTag(shop=ski.shop, tag=ski.tag)))
