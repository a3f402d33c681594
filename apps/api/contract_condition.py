"""The operations that compute: condition and plan."""

from __future__ import annotations

from pydantic import Field

from apps.api import problem_types as types
from apps.api.answers.condition import ConditionAnswer
from apps.api.answers.plan import PlanAnswer
from apps.api.contract_examples import condition_example, plan_example
from apps.api.contract_skis import FOREIGN
from apps.api.joined import LinksQuery
from apps.api.lists import Day
from apps.api.openapi_texts import SKIS
from apps.api.operations import Answer, Operation
from apps.api.plan_request import EXAMPLE, PlanRequest


class ConditionQuery(LinksQuery):
    """As of which day."""

    as_of: Day | None = Field(
        default=None,
        description="The state at the end of this day, by what is known now; today in UTC when "
        "left out.",
    )


PRACTICE = (
    "What is practice and not physics, such as the least material or what a grind takes, is that "
    "of the shop that asks, and marked as practice."
)

CONDITION = Operation(
    id="read_condition",
    tag=SKIS,
    summary="Read the condition of a ski",
    description="The history folded to the state now: each bevel with its standing, steel and base "
    "left with limits, open findings, use, and where the history contradicts itself. Every number "
    f"says what it rests on; what nobody measured is absent. {PRACTICE} {FOREIGN}",
    answer=Answer("The condition.", ConditionAnswer, condition_example),
    cost="compute",
    query=ConditionQuery,
    problems=(types.UNKNOWN_SKI,),
)

PLAN = Operation(
    id="plan_tune",
    tag=SKIS,
    summary="Plan a tune",
    description="What a tune would take off each edge and the base, whether enough is left for it, "
    "what to measure first, and cheaper ways to the same end. Nothing is stored. No binding "
    f"setting is ever computed. {PRACTICE} {FOREIGN}",
    answer=Answer("The plan.", PlanAnswer, plan_example),
    cost="compute",
    query=LinksQuery,
    request=PlanRequest,
    request_examples={"usual": EXAMPLE},
    problems=(types.UNKNOWN_SKI, types.UNKNOWN_REFERENCE),
)
