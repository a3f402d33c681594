"""How many radii a row of widths shows, put together for an answer."""

from __future__ import annotations

from apps.api.answers.shape import SidecutFormAnswer
from apps.registry.widths import Row
from apps.tuning.errors import TuningError
from apps.tuning.sidecut_arcs import Arc, SidecutForm, sidecut_form
from apps.tuning.uncertainty import USUAL_COVERAGE_FACTOR

METHOD = "geometric circle fits, chi-square test of what is left beside one, two and three arcs"


def form_answer(row: Row) -> SidecutFormAnswer | None:
    """Judge a row of widths; None where the arithmetic can't read it, which `unknown` explains."""
    try:
        found = sidecut_form(row.positions_mm, row.widths_mm, row.standard_uncertainty_mm)
    except TuningError:
        return None
    return SidecutFormAnswer.model_validate(
        {
            "form": found.form,
            "arcs": [_arc(arc) for arc in found.arcs],
            "width_uncertainty_mm": USUAL_COVERAGE_FACTOR * row.standard_uncertainty_mm,
            "coverage_factor": found.whole.coverage_factor,
            "sentence": _sentence(found),
            "method": METHOD,
            "rests_on": [row.record],
        }
    )


def _arc(arc: Arc) -> dict[str, object]:
    ends: dict[str, object] = {"from_mm": int(arc.from_mm), "to_mm": int(arc.to_mm)}
    if arc.fit is None:
        return ends
    return ends | {
        "radius_m": arc.fit.radius_m,
        "low_m": arc.fit.limits.low_m,
        "high_m": arc.fit.limits.high_m,
        "residual_rms_mm": arc.fit.residual_rms_mm,
    }


def _sentence(found: SidecutForm) -> str:
    radius = f"{found.whole.radius_m:.1f} m"
    if found.form == "one-radius":
        return f"One radius of {radius} describes the sidecut."
    left = f"one circle of {radius} leaves {found.whole.residual_rms_mm:.2f} mm"
    if found.form == "no-arcs":
        return (
            f"No single radius describes the sidecut: {left}, and not even three arcs explain the "
            "widths. Measure again, or state how sure the widths are."
        )
    told = ", ".join(_told(arc) for arc in found.arcs)
    return f"A single radius is the wrong word: {left}; from the tail {told}."


def _told(arc: Arc) -> str:
    radius = f"{arc.fit.radius_m:.1f} m" if arc.fit else "no radius"
    return f"{radius} between {arc.from_mm:g} and {arc.to_mm:g} mm"
