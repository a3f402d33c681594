"""The operations on a shop's own fleet."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from apps.api.answers.fleet import DuePage, DueRow, FleetPage, OutlookAnswer, RatesAnswer
from apps.api.csv_lines import MEDIA_TYPE
from apps.api.fleet_columns import NAMES
from apps.api.fleet_due import CSV_NAMES, csv_cells
from apps.api.fleet_outlook import OutlookQuery
from apps.api.fleet_query import DueQuery, FleetQuery
from apps.api.openapi_texts import FLEET
from apps.api.operations import Answer, Operation
from apps.api.query import Query
from apps.records.examples import RECORD, SKI
from apps.registry.csv_lines import csv_lines
from apps.tuning.outlook import METHOD as OUTLOOK_METHOD
from apps.tuning.wear_rates import METHOD

OWN = "The own fleet is the skis that are registered under tags of the shop of the key."
CSV = (
    "`format=csv`, or `Accept: text/csv`, answers with a table of the same columns, all skis in "
    "one answer unless `limit` says otherwise, written while it is sent and without an ETag. A "
    "text that a spreadsheet would take for a formula has an apostrophe before it."
)
CONDITION = "/api/v1/skis/fellbench/FB-0042/condition"
ROW: dict[str, Any] = {
    "shop": SKI["shop"],
    "tag": SKI["tag"],
    "tags": 1,
    "status": "in_service",
    "base_bevel_standing": "partly_ground_away",
    "side_bevel_standing": "stands",
    "open_findings": 1,
    "worst_severity": "severe",
    "worst_finding_day": "2025-02-10",
    "edge_height_least_mm": "1.735",
    "edge_height_low_mm": "1.715",
    "edge_height_high_mm": "1.755",
    "edge_height_basis": "readings",
    "services_left": 15,
    "services_left_low": 6,
    "services_left_high": 40,
    "grinds": 2,
    "jobs": 3,
    "last_job_day": "2025-01-31",
    "days_since_job": 14,
    "days_out": 21,
    "days_out_since_job_low": 5,
    "days_out_since_job_high": 9,
    "due_on": "2025-02-10",
    "warnings": 0,
    "folded_on": "2025-02-12",
    "condition": CONDITION,
}
DUE: dict[str, Any] = {
    "shop": SKI["shop"],
    "tag": SKI["tag"],
    "status": "in_service",
    "due_on": "2025-02-10",
    "urgency": "6.00",
    "reasons": [
        {
            "code": "finding",
            "sentence": "A severe finding has been open since 2025-02-10; the shop mends such a "
            "one in 1 day.",
            "due_on": "2025-02-10",
            "elapsed_days": 5,
            "allowed_days": 1,
            "urgency": "6.00",
            "basis": "records",
            "method": "one, and the days open over the days to mend",
            "rests_on": [RECORD],
        }
    ],
    "condition": CONDITION,
}
RATE: dict[str, Any] = {
    "quantity": "edge_height",
    "mean_mm": "0.061",
    "low_mm": "0.056",
    "high_mm": "0.066",
    "between_skis_mm": "0.008",
    "between_services_mm": "0.021",
    "skis": 48,
    "readings": 212,
    "services": 164,
    "few_readings": 9,
    "own_weight": "0.31",
    "basis": "readings",
    "scatter_basis": "readings",
    "method": METHOD,
    "sentence": "Learned from 164 services of 48 skis between readings.",
}


def _table(header: Sequence[str], cells: Sequence[str | int | None]) -> str:
    return b"".join(csv_lines(header, [cells])).decode()


LIST = Operation(
    id="list_fleet",
    tag=FLEET,
    summary="List the own fleet",
    description=f"{OWN} Each ski is shown as it was folded at its last record, by the shop's "
    "practice; its condition has every figure's method and records. A page ends at `limit`; "
    f"follow `next`. {CSV}",
    answer=Answer(
        "A page of the fleet.",
        FleetPage,
        {"as_of": "2025-02-14", "items": [ROW]},
        also={MEDIA_TYPE: _table(NAMES, [ROW.get(name) for name in NAMES])},
    ),
    query=FleetQuery,
)

DUE_LIST = Operation(
    id="list_due",
    tag=FLEET,
    summary="List the own skis that are due for the bench",
    description=f"{OWN} A ski is due by days out since its last job, by days since then, by an "
    "open finding, and by its own use carried on, at the intervals of the shop's practice. "
    "`urgency` is how far an interval is used up: days over the shop's days, and for an open "
    "finding one and the days it has been open over the days in which the shop mends such a one. "
    f"A ski that is retired, sold or missing is due for nothing. {CSV}",
    answer=Answer(
        "A page of what is due.",
        DuePage,
        {"as_of": "2025-02-14", "until": "2025-02-14", "items": [DUE]},
        also={MEDIA_TYPE: _table(CSV_NAMES, csv_cells(DueRow.model_validate(DUE)))},
    ),
    query=DueQuery,
)

OUTLOOK = Operation(
    id="read_fleet_outlook",
    tag=FLEET,
    summary="See when the own fleet wears out",
    description=f"{OWN} How many of them fall below the shop's least by the end of each month, "
    "with limits; and with `removal_factor` or `services_factor`, the same under another way of "
    "servicing and how many skis that spares. What a service takes off is learned from the "
    "fleet's readings, each ski's drawn to the fleet's. Skis without readings or use on record "
    "are counted apart and guessed at nowhere.",
    answer=Answer(
        "The outlook.",
        OutlookAnswer,
        {
            "as_of": "2025-02-14",
            "quantity": "edge_height",
            "least_mm": "0.800",
            "policy": {"removal_factor": "0.80", "services_factor": "1.00"},
            "skis": 52,
            "unknown": 8,
            "confidence": "0.90",
            "method": OUTLOOK_METHOD,
            "months": [
                {
                    "month": "2025-02",
                    "below": {"expected": "2.1", "low": 1, "high": 4},
                    "spared": {"expected": "0.1", "low": 0, "high": 1},
                }
            ],
            "rate": RATE,
            "use": {
                "services_a_season": "3.20",
                "basis": "readings",
                "sentence": "By the days out on record, of the ski and of the fleet.",
                "season_first": "12-01",
                "season_last": "04-15",
            },
            "skis_at": "/api/v1/fleet",
        },
    ),
    cost="compute",
    query=OutlookQuery,
)

RATES = Operation(
    id="read_fleet_rates",
    tag=FLEET,
    summary="See what operations take off here",
    description=f"{OWN} What each operation took off between readings before and after it, and "
    "what one usual service took off the skis between visits, each with its interval, the number "
    "of readings, and what it rests on.",
    answer=Answer(
        "The rates.",
        RatesAnswer,
        {
            "operations": [
                {
                    "operation": "stone_grind",
                    "quantity": "edge_height",
                    "pairs": 14,
                    "mean_mm": "0.052",
                    "spread_mm": "0.017",
                    "low_mm": "0.042",
                    "usual_mm": "0.052",
                    "high_mm": "0.062",
                    "basis": "readings",
                    "method": "mean of the pairs with its 95 % interval by Student's t",
                    "sentence": "Mean of 14 pairs of readings, with its 95 % interval.",
                    "rests_on": [RECORD],
                }
            ],
            "services": [RATE],
        },
    ),
    cost="compute",
    query=Query,
)
