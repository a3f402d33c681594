"""Why a ski of a fleet is due, put together for an answer; the reasons are the registry's."""

from __future__ import annotations

from typing import Literal

from apps.api.addresses import ski_address
from apps.api.answers.fleet import DueReason, DueRow
from apps.registry.fleet_columns import factor
from apps.registry.fleet_due import Asked
from apps.registry.fleet_reasons import Kept, Reason, ReasonCode, reasons_of
from apps.registry.fleet_sentences import reason_sentence

CSV_NAMES = ("shop", "tag", "status", "due_on", "urgency", "reasons", "why", "condition")
Basis = Literal["records", "forecast"]
BY_DATE = "days since the last job over the shop's days"
METHODS: dict[ReasonCode, tuple[Basis, str]] = {
    "finding": ("records", "one, and the days open over the days to mend"),
    "days-out": ("records", "days out over the shop's days out"),
    "forecast": ("forecast", "days out, carried on by the ratio of days out to days in season"),
    "date": ("records", BY_DATE),
    "no-job": ("records", BY_DATE),
}


def due_row(kept: Kept, asked: Asked) -> DueRow:
    """Give the answer about a ski."""
    shop, _, tag = kept.ski.partition("/")
    return DueRow.model_validate(
        {
            "shop": shop,
            "tag": tag,
            "status": kept.status or None,
            "due_on": kept.due_on,
            "urgency": factor(kept.urgency),
            "reasons": [_answer(reason) for reason in reasons_of(kept, asked)],
            "condition": f"{ski_address(shop, tag)}/condition",
        }
    )


def csv_cells(row: DueRow) -> list[str | None]:
    """Give the cells of a row, the reasons as their codes and as their sentences."""
    return [
        row.shop,
        row.tag,
        row.status,
        row.due_on.isoformat(),
        row.urgency,
        " ".join(reason.code for reason in row.reasons),
        " ".join(reason.sentence for reason in row.reasons),
        row.condition,
    ]


def _answer(reason: Reason) -> DueReason:
    basis, method = METHODS[reason.code]
    return DueReason.model_validate(
        {
            "code": reason.code,
            "sentence": reason_sentence(reason),
            "due_on": reason.due_on,
            "earliest": reason.earliest,
            "latest": reason.latest,
            "elapsed_days": reason.elapsed_days,
            "elapsed_low_days": reason.elapsed_low_days,
            "allowed_days": reason.allowed_days,
            "urgency": factor(reason.urgency),
            "basis": basis,
            "method": method,
            "rests_on": list(reason.rests_on),
        }
    )
