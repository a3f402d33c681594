"""The condition of a ski, and plans for it; both are computed and nothing is stored."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from rest_framework.request import Request
from rest_framework.response import Response

from apps.api import contract_condition
from apps.api.condition import condition_answer, plan_answer, see
from apps.api.contract_condition import ConditionQuery
from apps.api.operations import Operation
from apps.api.parsing import required_body_of
from apps.api.plan_request import read_plan_request
from apps.api.views.base import ApiView
from apps.api.views.skis import find_ski


class SkiCondition(ApiView):
    """The state of a ski now."""

    operations: Mapping[str, Operation] = {"GET": contract_condition.CONDITION}

    def get(self, request: Request, shop: str, tag: str) -> Response:
        """Fold the history to it."""
        actor = self.actor(request)
        found = find_ski(shop, tag, by=actor)
        asked = self.query_as(ConditionQuery).as_of
        as_of = None if asked is None else date.fromisoformat(asked)
        return Response(condition_answer(see(found, asking=actor.handle, as_of=as_of)))


class SkiPlan(ApiView):
    """What a tune would take off."""

    operations: Mapping[str, Operation] = {"POST": contract_condition.PLAN}

    def post(self, request: Request, shop: str, tag: str) -> Response:
        """Plan it."""
        actor = self.actor(request)
        found = find_ski(shop, tag, by=actor)
        asked = read_plan_request(required_body_of(request).document)
        return Response(plan_answer(see(found, asking=actor.handle), asked))
