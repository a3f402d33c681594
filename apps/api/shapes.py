"""Widths and turn radius of a ski from its records; the formulas are the bench arithmetic's."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field

from apps.api.answers.shape import RadiusAnswer, ShapeAnswer, UnknownRadius, WidthAnswer
from apps.api.descriptions import Described
from apps.records.folding import Folded
from apps.records.measurement import MeasurementBody, WidthPoint
from apps.records.quantities import Quantity
from apps.records.vocabulary import Station
from apps.registry.visits import parts_of
from apps.tuning.errors import TuningError
from apps.tuning.sidecut import SidecutRadius, radius_chord_m, radius_exact_chord_m
from apps.tuning.width_profile import radius_least_squares_m, waist_from_widths

FIELDS = {
    "shovel": "shovel_width_mm",
    "waist": "waist_width_mm",
    "tail": "tail_width_mm",
    "chord": "chord_mm",
}
STATIONS = {Station.SHOVEL: "shovel", Station.WAIST: "waist", Station.TAIL: "tail"}


@dataclass(frozen=True, slots=True)
class Profile:
    """A row of widths along the ski, and the record that holds it."""

    positions_mm: tuple[float, ...]
    widths_mm: tuple[float, ...]
    record: str


@dataclass(slots=True)
class _Measured:
    """The latest reading of each thing, as the records are gone through in time order."""

    widths: dict[str, WidthAnswer] = field(default_factory=dict)
    radius: RadiusAnswer | None = None
    profile: Profile | None = None

    def take(self, body: MeasurementBody, record: str) -> None:
        if body.quantity is Quantity.WIDTH_PROFILE and body.profile:
            self.profile = _profile(body, record)
        if body.value is None:
            return
        name = _name_of(body)
        if name is not None:
            value = float(body.value)
            self.widths[name] = _width(value, "measured", record)
        if body.quantity is Quantity.RADIUS_M:
            self.radius = _radius(float(body.value), "measured", record)


def _name_of(body: MeasurementBody) -> str | None:
    if body.quantity is Quantity.CHORD_MM:
        return "chord"
    if body.quantity is Quantity.WIDTH_MM and body.station is not None:
        return STATIONS.get(body.station)
    return None


def _profile(body: MeasurementBody, record: str) -> Profile:
    points = [point for point in body.profile or () if isinstance(point, WidthPoint)]
    return Profile(
        tuple(float(point.position_mm) for point in points),
        tuple(float(point.width_mm) for point in points),
        record,
    )


def _width(value: float, source: str, record: str, method: str | None = None) -> WidthAnswer:
    return WidthAnswer.model_validate(
        {"value_mm": value, "source": source, "record": record, "method": method}
    )


def _radius(radius_m: float, method: str, *records: str) -> RadiusAnswer:
    return RadiusAnswer.model_validate(
        {"radius_m": radius_m, "method": method, "rests_on": list(dict.fromkeys(records))}
    )


def shape_of(effective: Iterable[Folded], known: Described) -> ShapeAnswer:
    """Give widths and radii: what was measured last, else what the description says.

    Parameters
    ----------
    effective : iterable of Folded
        Records in effect, in the order of time.
    known : Described
        What the descriptions say.
    """
    measured = _Measured()
    for one in effective:
        for body in parts_of(one.content.body).measurements:
            measured.take(body, one.content.source)
    widths = _described_widths(known) | _from_profile(measured.profile) | measured.widths
    radii, unknown = _radii(widths, measured)
    return ShapeAnswer(**widths, radii=[*_stated_radii(known, measured), *radii], unknown=unknown)


def _described_widths(known: Described) -> dict[str, WidthAnswer]:
    return {
        name: _width(float(known.fields[field]), "described", known.sources[field])
        for name, field in FIELDS.items()
        if field in known.fields
    }


def _from_profile(profile: Profile | None) -> dict[str, WidthAnswer]:
    """The waist in a row of widths; the schema lets no row in that has none."""
    if profile is None:
        return {}
    waist = waist_from_widths(profile.positions_mm, profile.widths_mm)
    return {"waist": _width(waist.width_mm, "computed", profile.record, waist.method)}


def _stated_radii(known: Described, measured: _Measured) -> Iterator[RadiusAnswer]:
    if measured.radius is not None:
        yield measured.radius
    if "declared_radius_m" in known.fields:
        declared = float(known.fields["declared_radius_m"])
        yield _radius(declared, "declared", known.sources["declared_radius_m"])


def _radii(
    widths: dict[str, WidthAnswer], measured: _Measured
) -> tuple[list[RadiusAnswer], list[UnknownRadius]]:
    found: list[RadiusAnswer] = []
    unknown: list[UnknownRadius] = []
    for method, compute, records in _methods(widths, measured):
        try:
            radius = compute()
        except TuningError as error:
            unknown.append(UnknownRadius(method=method, sentence=str(error)))
        else:
            found.append(_answered(radius, records))
    missing = [name for name in FIELDS if name not in widths]
    if missing:
        unknown.append(UnknownRadius(method="chord", sentence=_missing(missing)))
    return found, unknown


Method = tuple[str, Callable[[], SidecutRadius], tuple[str, ...]]


def _methods(widths: dict[str, WidthAnswer], measured: _Measured) -> Iterator[Method]:
    if all(name in widths for name in FIELDS):
        values = [float(widths[name].value_mm) for name in FIELDS]
        records = tuple(widths[name].record for name in FIELDS)
        yield "chord", lambda: radius_chord_m(*values), records
        yield "exact-chord", lambda: radius_exact_chord_m(*values), records
    row = measured.profile
    if row is not None:
        compute = lambda: radius_least_squares_m(row.positions_mm, row.widths_mm)  # noqa: E731
        yield "least-squares", compute, (row.record,)


def _answered(radius: SidecutRadius, records: tuple[str, ...]) -> RadiusAnswer:
    answer = _radius(radius.radius_m, radius.method, *records)
    if radius.residual_rms_mm is None:
        return answer
    rms = {**answer.model_dump(), "residual_rms_mm": radius.residual_rms_mm}
    return RadiusAnswer.model_validate(rms)


def _missing(names: list[str]) -> str:
    listed = " and ".join(names)
    return (
        f"Nobody stated or measured {listed}; the chord formula needs shovel, waist, tail, chord."
    )


def groove_width_mm(effective: Iterable[Folded], known: Described) -> float | None:
    """Width of the centre groove [mm]: measured last, else described; None when nobody said."""
    described = known.fields.get("centre_groove_width_mm")
    width = None if described is None else float(described)
    for one in effective:
        for body in parts_of(one.content.body).measurements:
            if body.quantity is Quantity.CENTRE_GROOVE_WIDTH_MM and body.value is not None:
                width = float(body.value)
    return width
