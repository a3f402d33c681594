"""Lists of a shop's own records, single ones by id, and writing one; one pair for all kinds."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from functools import cached_property

from rest_framework.request import Request
from rest_framework.response import Response

from apps.api import contract_kinds
from apps.api.addresses import erased_record, next_page, record_address, unknown_record
from apps.api.drafts import read_own_draft
from apps.api.idempotency import once, written
from apps.api.kinds import ROUTES, KindRoute
from apps.api.lists import ListQuery, own_records
from apps.api.operations import Operation
from apps.api.parsing import body_of
from apps.api.stored import appended_members, members
from apps.api.views.base import ApiView
from apps.registry import actions
from apps.registry.errors import UnknownRecord
from apps.registry.idempotency import Answer
from apps.registry.models import Record
from apps.registry.querysets import RecordQuerySet
from apps.registry.tree import log_size


class KindView(ApiView):
    """Base of the views that one kind of record has."""

    kind = ""

    @property
    def route(self) -> KindRoute:
        """How the kind is addressed."""
        return ROUTES[self.kind]


class KindCollection(KindView):
    """The records of one kind that a shop wrote."""

    @cached_property
    def operations(self) -> Mapping[str, Operation]:
        """List and write."""
        return {
            "GET": contract_kinds.listing(self.route),
            "POST": contract_kinds.writing(self.route),
        }

    def get(self, request: Request) -> Response:
        """List them, a page at a time."""
        handle = self.actor(request).handle
        return own_page(request, [self.kind], handle, self.query_as(ListQuery))

    def post(self, request: Request) -> Response:
        """Write one."""
        actor = self.actor(request)
        draft = read_own_draft(self.kind, body_of(request).document, by=actor)

        def effect() -> Answer:
            (appended,) = actions.write_drafts(drafts=[draft], by=actor)
            address = record_address(appended.record_id, self.route.segment)
            return written(appended_members(appended), location=address)

        return once(request, actor, effect)


def own_page(request: Request, kinds: Collection[str], handle: str, query: ListQuery) -> Response:
    """Answer a page of the records of some kinds that a shop wrote."""
    until = log_size() if query.until is None else query.until
    after = -1 if query.after is None else query.after
    records = own_records(kinds, handle, query)
    found = list(records.page(after=after, up_to=until, size=query.limit + 1).stored())
    shown = found[: query.limit]
    page: dict[str, object] = {"until": until, "items": [members(one) for one in shown]}
    if len(found) > query.limit:
        after = shown[-1].log_index
        page["next"] = next_page(request.path, request.GET, after=after, until=until)
    return Response(page)


class KindItem(KindView):
    """One record of a kind."""

    @cached_property
    def operations(self) -> Mapping[str, Operation]:
        """Read."""
        return {"GET": contract_kinds.reading(self.route)}

    def get(self, request: Request, id: str) -> Response:  # noqa: A002 - the contract's word
        """Show it."""
        readable = Record.objects.visible_to(self.actor(request).handle)
        return Response(members(find_record(readable.of_kind(self.kind), id)))


_RECORD_ID = re.compile(r"[0-9a-f]{64}", re.ASCII)


def find_record(readable: RecordQuerySet, record_id: str) -> Record:
    """Find a record by the id of an address.

    Raises
    ------
    Problem
        `unknown-record`, or `erased` where its bytes are gone.
    """
    # PostgreSQL breaks on some characters that no id has, so the form is checked first.
    if not _RECORD_ID.fullmatch(record_id):
        raise unknown_record()
    try:
        found = readable.get_id(record_id)
    except UnknownRecord as error:
        raise unknown_record() from error
    if found.erased_by:
        raise erased_record(found.erased_by)
    return found
