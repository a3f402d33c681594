"""What is to come of a fleet, and what services take off it, put together for an answer."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Annotated

import numpy as np
from pydantic import BeforeValidator, Field, WithJsonSchema

from apps.api.addresses import ROOT
from apps.api.answers.figures import MaterialName
from apps.api.answers.fleet import (
    FleetRateAnswer,
    FleetUseAnswer,
    MonthAnswer,
    OperationRateAnswer,
    OutlookAnswer,
    RatesAnswer,
)
from apps.api.condition import today
from apps.api.lists import Day
from apps.api.query import Query, Whole
from apps.records.decimals import FixedStep
from apps.records.forms import Mode
from apps.registry.fleet_outlook import (
    OutlookAsked,
    Reckoned,
    fleet_rates,
    reckon,
    services_a_season,
)
from apps.registry.own_rates import own_rates
from apps.tuning.outlook import Counted, Fleet
from apps.tuning.practice import Practice
from apps.tuning.rates import LearnedRate
from apps.tuning.wear_limits import fleet_limits_mm, own_weight
from apps.tuning.wear_pace import UseForecast
from apps.tuning.wear_policy import AS_NOW, Policy
from apps.tuning.wear_rates import METHOD, ShrunkRates

MEAN_OF_PAIRS = "mean of the pairs with its 95 % interval by Student's t"
_FACTOR = FixedStep("0.01", "0.00", "5.00", "", "give a factor of now, such as 0.80")
_DAYS = FixedStep("0.1", "0.1", "400.0", "d", "give days out")


def _factor(value: object) -> object:
    return float(_FACTOR.read(value, Mode(draft=True)))


def _days(value: object) -> object:
    return float(_DAYS.read(value, Mode(draft=True)))


Times = Annotated[
    float, BeforeValidator(_factor), WithJsonSchema({"type": "number", "minimum": 0, "maximum": 5})
]
DaysOut = Annotated[
    float,
    BeforeValidator(_days),
    WithJsonSchema({"type": "number", "minimum": 0.1, "maximum": 400}),
]


class OutlookQuery(Query):
    """What is to run out, how far to look, and how the shop would service instead."""

    quantity: MaterialName = Field(default="edge_height", description="What runs out.")
    months: Annotated[Whole, Field(ge=1, le=120)] = Field(
        default=36, description="How many months, this one counted, 1 to 120."
    )
    removal_factor: Times = Field(
        default=1.0,
        description="What a service would take off over what it takes now, 0.00 to 5.00; 0.80 is a "
        "fifth less.",
    )
    services_factor: Times = Field(
        default=1.0, description="Services in a season over those now, 0.00 to 5.00."
    )
    days_a_season: DaysOut | None = Field(
        default=None,
        description="Days out of a ski in a season, in place of those on record, 0.1 to 400.0.",
    )
    days_a_service: DaysOut | None = Field(
        default=None,
        description="Days out from one service to the next, in place of those on record, 0.1 to "
        "400.0.",
    )
    as_of: Day | None = Field(
        default=None, description="The day from which it is reckoned; today in UTC when left out."
    )

    def asked(self) -> OutlookAsked:
        """Give it to the registry."""
        on = today() if self.as_of is None else date.fromisoformat(self.as_of)
        forecast = UseForecast(self.days_a_season, days_a_service=self.days_a_service)
        policy = Policy(self.removal_factor, self.services_factor)
        return OutlookAsked(on, self.quantity, self.months, policy, forecast)


def outlook_answer(handle: str, query: OutlookQuery) -> OutlookAnswer:
    """Give the outlook of a shop's fleet: two queries, whatever its size."""
    asked = query.asked()
    reckoned = reckon(handle, asked)
    fleet, result = reckoned.fleet, reckoned.result
    return OutlookAnswer.model_validate(
        {
            "as_of": asked.on,
            "quantity": asked.quantity,
            "least_mm": fleet.least_mm,
            "policy": result.policy,
            "skis": result.skis,
            "unknown": result.unknown,
            "confidence": result.confidence,
            "method": result.method,
            "months": list(_months(reckoned)),
            "rate": fleet_rate_answer(fleet.rates),
            "use": _use(fleet, reckoned.practice),
            "skis_at": f"{ROOT}/fleet",
        }
    )


def _months(reckoned: Reckoned) -> Iterator[MonthAnswer]:
    result = reckoned.result
    for end, number in zip(reckoned.ends, reckoned.places, strict=True):
        members = {"month": f"{end:%Y-%m}", "below": _counted(result.below, number)}
        if result.policy != AS_NOW:
            members["spared"] = _counted(result.spared, number)
        yield MonthAnswer.model_validate(members)


def _counted(counted: Counted, number: int) -> dict[str, object]:
    return {
        "expected": float(counted.expected[number]),
        "low": int(counted.low[number]),
        "high": int(counted.high[number]),
    }


def _use(fleet: Fleet, practice: Practice) -> FleetUseAnswer:
    return FleetUseAnswer.model_validate(
        {
            "services_a_season": services_a_season(fleet),
            "basis": fleet.pace.basis,
            "sentence": fleet.pace.sentence,
            "season_first": practice.season_first,
            "season_last": practice.season_last,
        }
    )


def fleet_rate_answer(rates: ShrunkRates) -> FleetRateAnswer:
    """Give the answer about what one usual service takes off a fleet."""
    fleet = rates.fleet
    low, high = fleet_limits_mm(fleet)
    return FleetRateAnswer.model_validate(
        {
            "quantity": fleet.quantity,
            "mean_mm": fleet.centre.mean,
            "low_mm": low,
            "high_mm": high,
            "between_skis_mm": float(np.sqrt(fleet.centre.between_variance)),
            "between_services_mm": float(np.sqrt(fleet.scatter_mm2)),
            "skis": fleet.skis,
            "readings": fleet.readings,
            "services": fleet.services,
            "few_readings": int(rates.few.sum()),
            "own_weight": own_weight(rates),
            "basis": fleet.basis,
            "scatter_basis": fleet.scatter_basis,
            "method": METHOD if fleet.basis == "readings" else "the shop's practice",
            "sentence": fleet.sentence,
        }
    )


def rates_answer(handle: str) -> RatesAnswer:
    """Give what operations and services take off in a shop: a fixed number of queries."""
    services = [fleet_rate_answer(rates) for rates in fleet_rates(handle)]
    operations = [_operation(rate) for rate in own_rates(handle)]
    return RatesAnswer(operations=operations, services=services)


def _operation(rate: LearnedRate) -> OperationRateAnswer:
    learned = rate.basis == "readings"
    return OperationRateAnswer.model_validate(
        {
            "operation": rate.operation,
            "quantity": rate.quantity,
            "pairs": rate.count,
            "mean_mm": rate.mean_mm,
            "spread_mm": rate.spread_mm,
            "low_mm": rate.amount.low_mm,
            "usual_mm": rate.amount.usual_mm,
            "high_mm": rate.amount.high_mm,
            "basis": rate.basis,
            "method": MEAN_OF_PAIRS if learned else "the shop's practice",
            "sentence": rate.sentence,
            "rests_on": list(rate.rests_on),
        }
    )
