"""Links of tags: own ones listed, single ones by id, writing one; and another tag for a ski."""

from __future__ import annotations

from collections.abc import Mapping

from rest_framework.request import Request
from rest_framework.response import Response

from apps.api import contract_links
from apps.api.addresses import (
    read_ski,
    record_address,
    ski_address,
    where_the_ski_is_named,
)
from apps.api.answers.joined import JoinedAnswer
from apps.api.idempotency import once, written
from apps.api.joined import joined_answer
from apps.api.links import read_link, read_retag
from apps.api.lists import ListQuery
from apps.api.operations import Operation
from apps.api.parsing import body_of
from apps.api.skis import links_of
from apps.api.stored import appended_members, members
from apps.api.views.base import ApiView
from apps.api.views.kinds import find_record, own_page
from apps.records.place import SkiTag
from apps.registry import actions
from apps.registry.errors import TagExists
from apps.registry.idempotency import Answer
from apps.registry.joining import joined_ski
from apps.registry.linking import LINK_KINDS
from apps.registry.models import Record, Tag
from apps.registry.retagging import retag_ski


class LinkCollection(ApiView):
    """The links that a shop wrote."""

    operations: Mapping[str, Operation] = {
        "GET": contract_links.LIST,
        "POST": contract_links.WRITE,
    }

    def get(self, request: Request) -> Response:
        """List them, a page at a time."""
        handle = self.actor(request).handle
        return own_page(request, LINK_KINDS, handle, self.query_as(ListQuery))

    def post(self, request: Request) -> Response:
        """Write one."""
        actor = self.actor(request)
        draft = read_link(body_of(request).document, by=actor)

        def effect() -> Answer:
            (appended,) = actions.write_drafts(drafts=[draft], by=actor)
            document = {**appended_members(appended), "joined": _joined(appended.record.ski)}
            return written(document, location=record_address(appended.record_id, "links"))

        return once(request, actor, effect)


def _joined(ski: SkiTag) -> JoinedAnswer:
    return joined_answer(joined_ski(Tag.objects.find(ski.shop, ski.tag), "mutual"))


class LinkItem(ApiView):
    """One link."""

    operations: Mapping[str, Operation] = {"GET": contract_links.READ}

    def get(self, request: Request, id: str) -> Response:  # noqa: A002 - the contract's word
        """Show it."""
        readable = Record.objects.visible_to(self.actor(request).handle)
        return Response(members(find_record(readable.of_kind(*LINK_KINDS), id)))


class SkiRetag(ApiView):
    """Another tag for a ski."""

    operations: Mapping[str, Operation] = {"POST": contract_links.RETAG}

    def post(self, request: Request, shop: str, tag: str) -> Response:
        """Put it on."""
        actor, old = self.actor(request), read_ski(shop, tag)
        drafts = read_retag(body_of(request).document, old)

        def effect() -> Answer:
            try:
                with where_the_ski_is_named():
                    appended = retag_ski(shop=old.shop, tag=old.tag, drafts=drafts, by=actor)
            except TagExists as error:
                error.pointer = "/tag"
                raise
            description, link = appended
            ski = description.record.ski
            document = {
                "ski": ski,
                "description": appended_members(description),
                "link": appended_members(link),
                "joined": _joined(ski),
                "links": links_of(ski.shop, ski.tag),
            }
            return written(document, location=ski_address(ski.shop, ski.tag))

        return once(request, actor, effect)
