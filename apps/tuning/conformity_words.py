"""The verdict on a finished tune in sentences for a person."""

from __future__ import annotations

import math
from datetime import date

from apps.tuning.conformity import Outcome
from apps.tuning.history import Edge
from apps.tuning.standing import Face
from apps.tuning.uncertainty import Estimate

VERDICTS = {
    "pass": "meets its target",
    "fail": "misses its target",
    "undecided": "may meet its target or not",
    "unmeasured": "was not measured after the work",
}
NO_GAUGE = "No gauge would decide: the reading lies too near the limit."


def bevel_sentence(
    edge: Edge, face: Face, reading: Estimate, outcome: Outcome, deciding_deg: float | None
) -> str:
    """Tell the verdict on one bevel; `deciding_deg` is expanded, k = 2 [deg]."""
    read = f"{reading.value:.2f} deg within {reading.expanded():.2f} deg"
    told = f"The {edge} {face} bevel, measured as {read}, {VERDICTS[outcome]}."
    return f"{told}{_mend(outcome, deciding_deg, 2, 'deg')}"


def flatness_sentence(
    reading: Estimate, upper_mm: float, outcome: Outcome, deciding_mm: float | None
) -> str:
    """Tell the verdict on the flatness; `deciding_mm` is expanded, k = 2 [mm]."""
    read = f"{reading.value:.3f} mm within {reading.expanded():.3f} mm"
    told = f"The base, straight to {read} against {upper_mm:.3f} mm, {VERDICTS[outcome]}."
    return f"{told}{_mend(outcome, deciding_mm, 3, 'mm')}"


def unmeasured_bevel(edge: Edge, face: Face) -> str:
    """Tell that nobody measured a bevel."""
    return f"The {edge} {face} bevel {VERDICTS['unmeasured']}."


def job_sentence(day: date, outcome: str) -> str:
    """Tell the verdict on the whole job."""
    verdict = "was not measured" if outcome == "unmeasured" else VERDICTS[outcome]
    return f"The tune of {day} {verdict}" + (
        " in all it asks for." if outcome in {"pass", "unmeasured"} else "."
    )


def _mend(outcome: Outcome, deciding: float | None, decimals: int, unit: str) -> str:
    if outcome != "undecided":
        return ""
    # Rounded down: a gauge as sure as the number shown has to decide.
    step = 10.0**decimals
    shown = 0.0 if deciding is None else math.floor(deciding * step) / step
    if shown == 0:
        return f" {NO_GAUGE}"
    return f" A gauge sure within {shown:.{decimals}f} {unit} (k = 2) would decide."
