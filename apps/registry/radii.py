"""Every turn radius that can be told of a ski, each by its own way and with its limits."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from apps.registry.descriptions import Described
from apps.registry.widths import FIELDS, Row, Width
from apps.tuning.declared_radius import chord_radius_limits, declared_half_step_m
from apps.tuning.errors import TuningError
from apps.tuning.sidecut import SidecutRadius, radius_chord_m, radius_exact_chord_m
from apps.tuning.sidecut_fit import RadiusLimits, fit_sidecut

DECLARED = "declared_radius_m"


@dataclass(frozen=True, slots=True)
class Radius:
    """A turn radius, its limits unless nobody stated them, and the records behind it."""

    method: str
    radius_m: float
    limits: RadiusLimits | None
    records: tuple[str, ...]
    residual_rms_mm: float | None = None


@dataclass(frozen=True, slots=True)
class UnknownRadius:
    """Why a method gives no radius here."""

    method: str
    sentence: str


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
            unknown.append(UnknownRadius(method, str(error)))
    missing = [name for name in FIELDS if name not in widths]
    if missing:
        unknown.append(UnknownRadius("chord", _missing(missing)))
    return found, unknown


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
