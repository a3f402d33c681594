"""Widths, chord and rows of widths of a ski from its records, each with its uncertainty."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

from apps.records.folding import Folded
from apps.records.measurement import MeasurementBody, WidthPoint
from apps.records.quantities import QUANTITIES, Quantity
from apps.records.vocabulary import Station
from apps.registry.descriptions import Described
from apps.registry.visits import parts_of
from apps.tuning.declared_radius import USUAL_CHORD_UNCERTAINTY_MM, printed_uncertainty_mm
from apps.tuning.sidecut_fit import USUAL_WIDTH_UNCERTAINTY_MM
from apps.tuning.uncertainty import USUAL_COVERAGE_FACTOR, rectangular_standard
from apps.tuning.width_profile import waist_from_widths

FIELDS = {
    "shovel": "shovel_width_mm",
    "waist": "waist_width_mm",
    "tail": "tail_width_mm",
    "chord": "chord_mm",
}
STATIONS = {Station.SHOVEL: "shovel", Station.WAIST: "waist", Station.TAIL: "tail"}


@dataclass(frozen=True, slots=True)
class Width:
    """A width or chord [mm], its expanded uncertainty (k = 2) [mm], and where it comes from."""

    value_mm: float
    uncertainty_mm: float
    source: str
    record: str
    method: str | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """A row of widths along the ski and the record that holds it.

    Parameters
    ----------
    positions_mm, widths_mm : tuple of float, shape (n,)
        Positions from the tail, rising, and the width at each [mm].
    standard_uncertainty_mm : float
        Of one width (k = 1) [mm], with the rounding to the step of the record in it.
    record : str
        Id of the record.
    """

    positions_mm: tuple[float, ...]
    widths_mm: tuple[float, ...]
    standard_uncertainty_mm: float
    record: str

    def waist(self) -> Width:
        """The narrowest place; the schema lets no row in that has none."""
        waist = waist_from_widths(self.positions_mm, self.widths_mm)
        off = USUAL_COVERAGE_FACTOR * self.standard_uncertainty_mm
        return Width(waist.width_mm, off, "computed", self.record, waist.method)


@dataclass(slots=True)
class Measured:
    """The latest reading of each thing, as the records are gone through in time order."""

    widths: dict[str, Width] = field(default_factory=dict)
    radius: Width | None = None
    """A radius read by a bench, in metres; without stated uncertainty that is zero."""
    row: Row | None = None

    def take(self, body: MeasurementBody, record: str) -> None:
        """Keep what one measurement says, in place of an earlier one."""
        if body.quantity is Quantity.WIDTH_PROFILE and body.profile:
            self.row = _row(body, record)
        if body.value is None:
            return
        name, value = _name_of(body), float(body.value)
        if name is not None:
            self.widths[name] = Width(value, _off(body, name), "measured", record)
        if body.quantity is Quantity.RADIUS_M:
            self.radius = Width(value, float(body.uncertainty or 0), "measured", record)


def measured_in(effective: Iterable[Folded]) -> Measured:
    """Give what was measured last of each thing; records come in the order of time."""
    found = Measured()
    for one in effective:
        for body in parts_of(one.content.body).measurements:
            found.take(body, one.content.source)
    return found


def described_widths(known: Described) -> dict[str, Width]:
    """Give the widths and the chord that descriptions state."""
    found: dict[str, Width] = {}
    for name, stated in FIELDS.items():
        if stated in known.fields:
            value = float(known.fields[stated])
            off = printed_uncertainty_mm(value)
            found[name] = Width(value, off, "described", known.sources[stated])
    return found


def _name_of(body: MeasurementBody) -> str | None:
    if body.quantity is Quantity.CHORD_MM:
        return "chord"
    if body.quantity is Quantity.WIDTH_MM and body.station is not None:
        return STATIONS.get(body.station)
    return None


def _off(body: MeasurementBody, name: str) -> float:
    if body.uncertainty is not None:
        return float(body.uncertainty)
    return USUAL_CHORD_UNCERTAINTY_MM if name == "chord" else USUAL_WIDTH_UNCERTAINTY_MM


def _row(body: MeasurementBody, record: str) -> Row:
    points = [point for point in body.profile or () if isinstance(point, WidthPoint)]
    step = float(QUANTITIES[Quantity.WIDTH_PROFILE].uncertainty.step)
    stated = USUAL_WIDTH_UNCERTAINTY_MM if body.uncertainty is None else float(body.uncertainty)
    # A record states widths in steps, so even a row said to be exact is off by their rounding.
    off = math.hypot(stated / USUAL_COVERAGE_FACTOR, rectangular_standard(step))
    return Row(
        tuple(float(point.position_mm) for point in points),
        tuple(float(point.width_mm) for point in points),
        off,
        record,
    )
