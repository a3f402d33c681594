"""A record of any kind by its id, and its correction or retraction by the author."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from rest_framework.request import Request
from rest_framework.response import Response

from apps.api import contract_amendments, contract_keys
from apps.api.addresses import record_address
from apps.api.amendments import read_amendment
from apps.api.bodies import read_body
from apps.api.idempotency import once, written
from apps.api.key_requests import SignedRecord
from apps.api.operations import Operation
from apps.api.parsing import AROUND_A_RECORD, body_of, required_body_of
from apps.api.signed_records import put_record
from apps.api.stored import appended_members, members
from apps.api.views.base import ApiView
from apps.api.views.kinds import find_record
from apps.registry import actions
from apps.registry.idempotency import Answer
from apps.registry.models import Record


class RecordItem(ApiView):
    """One record of any kind."""

    max_depth = AROUND_A_RECORD
    operations: Mapping[str, Operation] = {
        "GET": contract_amendments.READ,
        "PUT": contract_keys.PUT,
    }

    def get(self, request: Request, id: str) -> Response:  # noqa: A002 - the contract's word
        """Show it."""
        readable = Record.objects.visible_to(self.actor(request).handle)
        return Response(members(find_record(readable, id)))

    def put(self, request: Request, id: str) -> Response:  # noqa: A002 - the contract's word
        """Take it as the shop signed it."""
        given = required_body_of(request).document
        signed = read_body(given, SignedRecord, verbatim=frozenset({"record"}))
        appended = put_record(signed, id, by=self.actor(request))
        return Response(
            appended_members(appended),
            status=201 if appended.is_new else 200,
            headers={"Location": record_address(appended.record_id)},
        )


class Amendment(ApiView):
    """A correction, retraction or dispute of a record."""

    kind = ""

    @cached_property
    def operations(self) -> Mapping[str, Operation]:
        """Write one."""
        return {"POST": contract_amendments.AMENDING[self.kind]}

    def post(self, request: Request, id: str) -> Response:  # noqa: A002 - the contract's word
        """Write it."""
        actor = self.actor(request)
        target = find_record(Record.objects.visible_to(actor.handle), id)
        draft = read_amendment(self.kind, body_of(request).document, target, by=actor)

        def effect() -> Answer:
            (appended,) = actions.write_drafts(drafts=[draft], by=actor)
            return written(appended_members(appended), location=record_address(appended.record_id))

        return once(request, actor, effect)
