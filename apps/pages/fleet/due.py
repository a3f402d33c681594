"""The rows of the list of what is due."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from apps.pages.addresses import ski_path
from apps.pages.numbers import plain
from apps.pages.sentences.due import due_reason_sentence
from apps.registry.fleet import Row
from apps.registry.fleet_due import Asked
from apps.registry.fleet_reasons import Kept, reasons_of, shown
from apps.registry.models.ski import shop_and_tag


@dataclass(frozen=True, slots=True)
class DueRow:
    """A ski that is due.

    Parameters
    ----------
    key, tag, status : str
        The ski, and its status as last stated; "" for never.
    due_on : date
        The first day on which it became or becomes due.
    is_due : bool
        Whether it is due already on the day that was asked for.
    urgency : str
        How far the interval is used up, written by the locale; 1.00 is just due.
    reasons : tuple of str
        Sentences, the most urgent first.
    bench : str
        Address of the ski on the bench.
    """

    key: str
    tag: str
    status: str
    due_on: date
    is_due: bool
    urgency: str
    reasons: tuple[str, ...]
    bench: str


def due_list(rows: Sequence[Row], asked: Asked) -> list[DueRow]:
    """Give the rows of a page."""
    return [_due(Kept(*row), asked) for row in rows]


def _due(kept: Kept, asked: Asked) -> DueRow:
    shop, tag = shop_and_tag(kept.ski)
    return DueRow(
        kept.ski,
        tag,
        kept.status,
        kept.due_on,
        kept.due_on <= asked.on,
        plain(Decimal(shown(kept.urgency)) / 100, 2),
        tuple(due_reason_sentence(reason) for reason in reasons_of(kept, asked)),
        ski_path(shop, tag, "bench-ski"),
    )
