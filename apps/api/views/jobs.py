"""Several jobs in one call."""

from __future__ import annotations

from collections.abc import Mapping

from rest_framework.request import Request
from rest_framework.response import Response

from apps.api import contract_amendments
from apps.api.addresses import record_address
from apps.api.bulk import read_jobs
from apps.api.idempotency import once, written
from apps.api.operations import Operation
from apps.api.parsing import SEVERAL_RECORDS_BYTES, body_of
from apps.api.stored import appended_members
from apps.api.views.base import ApiView
from apps.registry import actions
from apps.registry.idempotency import Answer


class JobsTogether(ApiView):
    """Jobs that are written together or not at all."""

    operations: Mapping[str, Operation] = {"POST": contract_amendments.TOGETHER}
    max_bytes = SEVERAL_RECORDS_BYTES
    several = "/jobs"

    def post(self, request: Request) -> Response:
        """Write them."""
        actor = self.actor(request)
        drafts = read_jobs(body_of(request).document, by=actor)

        def effect() -> Answer:
            appended = actions.write_drafts(drafts=drafts, by=actor)
            first = record_address(appended[0].record_id, "jobs")
            return written({"items": [appended_members(one) for one in appended]}, location=first)

        return once(request, actor, effect)
