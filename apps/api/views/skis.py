"""Skis by their tag: register one, see what it is, read its history."""

from __future__ import annotations

from collections.abc import Mapping

from rest_framework.request import Request
from rest_framework.response import Response

from apps.api import contract_skis
from apps.api.addresses import next_page, ski_address
from apps.api.drafts import only_own_name
from apps.api.history_query import HistoryQuery, folded_page, raw_page, same_together
from apps.api.idempotency import once, written
from apps.api.joined import LinksQuery, find_joined, joined_answer
from apps.api.operations import Operation
from apps.api.parsing import body_of
from apps.api.registration import read_registration
from apps.api.skis import links_of, ski_answer
from apps.api.stored import appended_members
from apps.api.views.base import ApiView
from apps.registry import actions
from apps.registry.histories import read_fold
from apps.registry.idempotency import Answer
from apps.registry.tree import log_size


class SkiCollection(ApiView):
    """All skis of the shop; for now only a place to register one."""

    operations: Mapping[str, Operation] = {"POST": contract_skis.REGISTER}

    def post(self, request: Request) -> Response:
        """Register a ski under a tag of the own shop."""
        actor = self.actor(request)
        draft = read_registration(body_of(request).document, by=actor)
        only_own_name(draft, actor)

        def effect() -> Answer:
            appended = actions.register_ski(draft=draft, by=actor)
            ski = appended.record.ski
            document = {**appended_members(appended), "links": links_of(ski.shop, ski.tag)}
            return written(document, location=ski_address(ski.shop, ski.tag))

        return once(request, actor, effect)


class SkiItem(ApiView):
    """One ski."""

    operations: Mapping[str, Operation] = {"GET": contract_skis.READ}

    def get(self, request: Request, shop: str, tag: str) -> Response:
        """Show what it is."""
        ski = find_joined(shop, tag, self.query_as(LinksQuery), by=self.actor(request))
        return Response(ski_answer(ski, read_fold(ski.tags)))


class SkiHistory(ApiView):
    """The history of a ski."""

    operations: Mapping[str, Operation] = {"GET": contract_skis.HISTORY}

    def get(self, request: Request, shop: str, tag: str) -> Response:
        """Show it, a page at a time."""
        query = self.query_as(HistoryQuery)
        ski = find_joined(shop, tag, query, by=self.actor(request))
        mark = same_together(ski.tags, query)
        until = log_size() if query.until is None else query.until
        paged = raw_page if query.raw else folded_page
        page = paged(ski.tags, query, until)
        answer: dict[str, object] = {
            "joined": joined_answer(ski),
            "until": until,
            "items": page.items,
        }
        if page.cursor is not None:
            place = {"after": page.cursor, "until": until, "together": mark}
            answer["next"] = next_page(request.path, request.GET, **place)
        return Response(answer)
