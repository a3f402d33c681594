"""The operation that says how fast a ski wears and how long it will last."""

from __future__ import annotations

from datetime import date
from typing import Any

from apps.api import problem_types as types
from apps.api.answers.wear import SkiWearAnswer
from apps.api.contract_condition import PRACTICE
from apps.api.contract_skis import FOREIGN
from apps.api.joined import alone
from apps.api.openapi_texts import SKIS
from apps.api.operations import Answer, Operation
from apps.api.wear import WearQuery, answered
from apps.records.examples import RECORD, SKI
from apps.records.place import SkiTag
from apps.registry.ski_wear import Asked, FleetRows
from apps.tuning.history import MaterialQuantity, Place, Reading, Step, Visit
from apps.tuning.practice import Practice
from apps.tuning.wear import QUANTITIES
from apps.tuning.wear_statistics import WearStatistics, columns_of

DAY = date(2025, 2, 14)


def _visit(day: date, edge_height_mm: float) -> Visit:
    gauge = (Place(edge="left", station="waist"), 0.02, "depth gauge")
    return Visit(
        record=RECORD,
        kind="job",
        author=SKI["shop"],
        day=day,
        steps=(Step("stone_grind"),),
        readings=(Reading("edge_height", edge_height_mm, *gauge, moment="after"),),
    )


def _like_it(removed_um: int) -> WearStatistics:
    return WearStatistics(
        readings=5,
        intervals=4,
        services=5,
        removed_um=removed_um,
        scatter_um2=1200,
        scatter_of_readings_um2=300,
        readings_variance_um2=200,
        spans=3,
        span_days=36,
        span_squares=440,
        seasons=2,
        season_days=84,
        season_squares=3536,
    )


def _fleet(quantity: MaterialQuantity) -> FleetRows:
    own = 0 if quantity == "edge_height" else None
    skis = [_like_it(150 + 20 * number) for number in range(8)]
    return FleetRows(columns_of(one.row for one in skis if quantity == "edge_height"), own)


def wear_example() -> Any:
    """Give the example of an answer, computed."""
    visits = (
        _visit(date(2024, 12, 2), 1.820),
        _visit(date(2025, 1, 7), 1.775),
        _visit(date(2025, 1, 31), 1.735),
    )
    fleet = {quantity: _fleet(quantity) for quantity in QUANTITIES}
    ski = SkiTag.model_validate(SKI)
    answer = answered(ski, Asked(visits, fleet, Practice(), DAY), alone(ski))
    return answer.model_dump(mode="json", exclude_none=True)


WEAR = Operation(
    id="read_ski_wear",
    tag=SKIS,
    summary="See how fast a ski wears and how long it will last",
    description="For each edge in height and width, and for the base: what one service takes off, "
    "how many services are left until the shop's least, and on which day that is, each between "
    "limits. The ski's own readings are drawn to the rate of the asking shop's fleet by how sure "
    "each is, so a ski with few readings borrows from the others and one with many stands by "
    "itself. What nobody measured is `unknown`, with what to measure; no reading is made up. "
    f"{PRACTICE} {FOREIGN}",
    answer=Answer("Its wear.", SkiWearAnswer, wear_example),
    cost="compute",
    query=WearQuery,
    problems=(types.UNKNOWN_SKI,),
)
