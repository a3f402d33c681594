"""Links by which somebody without a log-in sees one ski of the shop."""

from __future__ import annotations

from collections.abc import Mapping

from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response

from apps.api import contract_share_links
from apps.api.addresses import ROOT, next_page
from apps.api.bodies import read_body
from apps.api.operations import Operation
from apps.api.parsing import required_body_of
from apps.api.share_link_requests import NewShareLinkRequest, ShareLinkQuery
from apps.api.share_links import listed_links, page_path, share_link_members
from apps.api.views.base import ApiView
from apps.registry import sharing
from apps.registry.models import ShareLink


class ShareLinkCollection(ApiView):
    """All share links of the shop."""

    operations: Mapping[str, Operation] = {
        "GET": contract_share_links.LIST,
        "POST": contract_share_links.MAKE,
    }

    def get(self, request: Request) -> Response:
        """List them."""
        query = self.query_as(ShareLinkQuery)
        now = timezone.now()
        # One more than is shown says whether there is another page.
        found = list(listed_links(self.actor(request).handle, query)[: query.limit + 1])
        shown = found[: query.limit]
        page: dict[str, object] = {"items": [share_link_members(one, now=now) for one in shown]}
        if len(found) > len(shown):
            page["next"] = next_page(request.path, request.GET, after=shown[-1].prefix)
        return Response(page)

    def post(self, request: Request) -> Response:
        """Make one, and show its token this once."""
        actor = self.actor(request)
        wanted = read_body(required_body_of(request).document, NewShareLinkRequest)
        made = sharing.make_share_link(
            shop=actor.handle, tag=wanted.tag, days=wanted.valid_days, by=actor
        )
        link = ShareLink.objects.get(prefix=made.prefix)
        document = {
            **share_link_members(link, now=link.created_at),
            "token": made.token,
            "page": page_path(made.token),
        }
        return Response(document, status=201, headers={"Location": f"{ROOT}/share-links"})


class ShareLinkItem(ApiView):
    """One share link."""

    operations: Mapping[str, Operation] = {"DELETE": contract_share_links.END}

    def delete(self, request: Request, prefix: str) -> Response:
        """End it."""
        ended = sharing.revoke_share_link(prefix=prefix, by=self.actor(request))
        return Response(share_link_members(ended, now=timezone.now()))
