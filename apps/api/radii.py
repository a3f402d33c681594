"""Turn radii of a ski as an answer shows them; the registry finds them."""

from __future__ import annotations

from collections.abc import Sequence

from apps.api.answers.shape import DeclaredRadiusAnswer, RadiusAnswer
from apps.registry.radii import Radius
from apps.tuning.declared_radius import FoundRadius, compare_declared

COMPARABLE = (
    "A declared radius says nothing of how it was found. Hold it against the chord formulas, which "
    "take the widest and narrowest places as most makers do; racing skis are declared by the "
    "racing rule, from widths further in. The least-squares circle compares only where one radius "
    "describes the whole sidecut."
)


def radius_answer(radius: Radius) -> RadiusAnswer:
    """Give a radius as an answer shows it."""
    limits = radius.limits
    return RadiusAnswer.model_validate(
        {
            "radius_m": radius.radius_m,
            "low_m": limits.low_m if limits else None,
            "high_m": limits.high_m if limits else None,
            "method": radius.method,
            "residual_rms_mm": radius.residual_rms_mm,
            "rests_on": list(dict.fromkeys(radius.records)),
        }
    )


def declared_answer(radii: Sequence[Radius]) -> DeclaredRadiusAnswer | None:
    """Hold the declared radius against the others; None where none is declared."""
    declared = next((one for one in radii if one.method == "declared"), None)
    if declared is None:
        return None
    others = [one for one in radii if one.method != "declared" and one.limits is not None]
    found = [FoundRadius(one.method, one.radius_m, one.limits) for one in others if one.limits]
    compared = compare_declared(declared.radius_m, found)
    records = (*declared.records, *(record for one in others for record in one.records))
    return DeclaredRadiusAnswer.model_validate(
        {
            "declared_m": compared.declared_m,
            "half_step_m": compared.half_step_m,
            "comparisons": list(compared.comparisons),
            "nearest": compared.nearest,
            "comparable_with": COMPARABLE,
            "sentence": compared.sentence,
            "rests_on": list(dict.fromkeys(records)),
        }
    )
