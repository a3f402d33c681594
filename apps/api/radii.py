"""Every turn radius that can be told of a ski, each by its own way and with its limits."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from apps.api.answers.shape import DeclaredRadiusAnswer, RadiusAnswer, UnknownRadius
from apps.api.descriptions import Described
from apps.api.widths import FIELDS, Row, Width
from apps.tuning.declared_radius import (
    FoundRadius,
    chord_radius_limits,
    compare_declared,
    declared_half_step_m,
)
from apps.tuning.errors import TuningError
from apps.tuning.sidecut import SidecutRadius, radius_chord_m, radius_exact_chord_m
from apps.tuning.sidecut_fit import RadiusLimits, fit_sidecut

DECLARED = "declared_radius_m"
COMPARABLE = (
    "A declared radius says nothing of how it was found. Hold it against the chord formulas, which "
    "take the widest and narrowest places as most makers do; racing skis are declared by the "
    "racing rule, from widths further in. The least-squares circle compares only where one radius "
    "describes the whole sidecut."
)


@dataclass(frozen=True, slots=True)
class Radius:
    """A turn radius, its limits unless nobody stated them, and the records behind it."""

    method: str
    radius_m: float
    limits: RadiusLimits | None
    records: tuple[str, ...]
    residual_rms_mm: float | None = None

    def answer(self) -> RadiusAnswer:
        """Give it as an answer shows it."""
        return RadiusAnswer.model_validate(
            {
                "radius_m": self.radius_m,
                "low_m": self.limits.low_m if self.limits else None,
                "high_m": self.limits.high_m if self.limits else None,
                "method": self.method,
                "residual_rms_mm": self.residual_rms_mm,
                "rests_on": list(dict.fromkeys(self.records)),
            }
        )


def stated_radii(known: Described, measured: Width | None) -> Iterator[Radius]:
    """Give the radius that a bench read and the one that the description declares."""
    if measured is not None:
        off = measured.uncertainty_mm
        limits = _around(measured.value_mm, off) if off else None
        yield Radius("measured", measured.value_mm, limits, (measured.record,))
    if DECLARED in known.fields:
        declared = float(known.fields[DECLARED])
        limits = _around(declared, declared_half_step_m(declared))
        yield Radius("declared", declared, limits, (known.sources[DECLARED],))


def found_radii(
    widths: Mapping[str, Width], row: Row | None
) -> tuple[list[Radius], list[UnknownRadius]]:
    """Give the radius by each way that the widths allow, and why the others give none."""
    found: list[Radius] = []
    unknown: list[UnknownRadius] = []
    for method, compute in _ways(widths, row):
        try:
            found.append(compute())
        except TuningError as error:
            unknown.append(UnknownRadius(method=method, sentence=str(error)))
    missing = [name for name in FIELDS if name not in widths]
    if missing:
        unknown.append(UnknownRadius(method="chord", sentence=_missing(missing)))
    return found, unknown


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


def _around(radius_m: float, off_m: float) -> RadiusLimits:
    return RadiusLimits(max(0.0, radius_m - off_m), radius_m + off_m)


Way = tuple[str, Callable[[], Radius]]


def _ways(widths: Mapping[str, Width], row: Row | None) -> Iterator[Way]:
    if all(name in widths for name in FIELDS):
        four = [widths[name] for name in FIELDS]
        yield "chord", lambda: _by_chord(radius_chord_m, four)
        yield "exact-chord", lambda: _by_chord(radius_exact_chord_m, four)
    if row is not None:
        yield "least-squares", lambda: _by_circle(row)


def _by_chord(
    formula: Callable[[float, float, float, float], SidecutRadius], four: Sequence[Width]
) -> Radius:
    shovel, waist, tail, chord = four
    radius = formula(shovel.value_mm, waist.value_mm, tail.value_mm, chord.value_mm)
    limits = chord_radius_limits(
        radius.radius_m,
        (shovel.value_mm, waist.value_mm, tail.value_mm),
        (shovel.uncertainty_mm, waist.uncertainty_mm, tail.uncertainty_mm),
        chord.value_mm,
        chord.uncertainty_mm,
    )
    return Radius(radius.method, radius.radius_m, limits, tuple(one.record for one in four))


def _by_circle(row: Row) -> Radius:
    fit = fit_sidecut(row.positions_mm, row.widths_mm, row.standard_uncertainty_mm)
    return Radius("least-squares", fit.radius_m, fit.limits, (row.record,), fit.residual_rms_mm)


def _missing(names: Sequence[str]) -> str:
    listed = " and ".join(names)
    return (
        f"Nobody stated or measured {listed}; the chord formula needs shovel, waist, tail, chord."
    )
