"""The bundle of a ski: one signed file that verifies without the node."""

from __future__ import annotations

from collections.abc import Mapping

from rest_framework.request import Request
from rest_framework.response import Response

from apps.api import contract_bundle
from apps.api.joined import LinksQuery, find_joined
from apps.api.operations import Operation
from apps.api.rendering import Verbatim
from apps.api.views.base import ApiView
from apps.exchange.bundles import bundle_of


class SkiBundle(ApiView):
    """All records of a ski with their proofs."""

    operations: Mapping[str, Operation] = {"GET": contract_bundle.BUNDLE}

    def get(self, request: Request, shop: str, tag: str) -> Response:
        """Make the file."""
        query = self.query_as(LinksQuery)
        ski = find_joined(shop, tag, query, by=self.actor(request))
        # A tag holds no character that would end the file's name.
        saved_as = f'attachment; filename="{ski.tag.tag}.bundle.json"'
        data = bundle_of(ski.tag, query.links)
        return Response(Verbatim(data), headers={"Content-Disposition": saved_as})
