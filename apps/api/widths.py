"""Widths and chord of a ski as an answer shows them; the registry reads them."""

from __future__ import annotations

from apps.api.answers.shape import WidthAnswer
from apps.registry.widths import Width


def width_answer(width: Width) -> WidthAnswer:
    """Give a width as an answer shows it."""
    return WidthAnswer.model_validate(
        {
            "value_mm": width.value_mm,
            "expanded_uncertainty_mm": width.uncertainty_mm,
            "source": width.source,
            "method": width.method,
            "record": width.record,
        }
    )
