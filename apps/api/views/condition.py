"""The condition of a ski, and plans for it; both are computed and nothing is stored."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from rest_framework.request import Request
from rest_framework.response import Response

from apps.api import contract_condition
from apps.api.condition import condition_answer, plan_answer, see
from apps.api.contract_condition import ConditionQuery
from apps.api.joined import LinksQuery, find_joined
from apps.api.operations import Operation
from apps.api.parsing import required_body_of
from apps.api.plan_request import read_plan_request
from apps.api.views.base import ApiView


class SkiCondition(ApiView):
    """The state of a ski now."""

    operations: Mapping[str, Operation] = {"GET": contract_condition.CONDITION}

    def get(self, request: Request, shop: str, tag: str) -> Response:
        """Fold the history to it."""
        actor, query = self.actor(request), self.query_as(ConditionQuery)
        ski = find_joined(shop, tag, query, by=actor)
        as_of = None if query.as_of is None else date.fromisoformat(query.as_of)
        return Response(condition_answer(see(ski, asking=actor.handle, as_of=as_of)))


class SkiPlan(ApiView):
    """What a tune would take off."""

    operations: Mapping[str, Operation] = {"POST": contract_condition.PLAN}

    def post(self, request: Request, shop: str, tag: str) -> Response:
        """Plan it."""
        actor = self.actor(request)
        ski = find_joined(shop, tag, self.query_as(LinksQuery), by=actor)
        asked = read_plan_request(required_body_of(request).document)
        return Response(plan_answer(see(ski, asking=actor.handle), asked))
