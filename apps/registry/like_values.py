"""What each shop states of one ski, as far as it is pooled with what is stated of like skis."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from statistics import median_low
from types import MappingProxyType
from typing import NamedTuple

from apps.records.bevel_setting import BevelSettingBody
from apps.records.description import DescriptionBody
from apps.records.folding import Fold, Folded
from apps.records.measurement import MeasurementBody, WidthPoint
from apps.records.quantities import Quantity
from apps.records.step import Step
from apps.records.vocabulary import Moment, Station
from apps.records.words import Word
from apps.registry.indexing import thousandths
from apps.registry.visits import EDGES, MATERIAL, parts_of, visit_of
from apps.tuning.practice import Practice
from apps.tuning.rates import removal_pairs
from apps.tuning.width_profile import waist_from_widths

DESCRIBED: Mapping[str, str] = MappingProxyType(
    {
        "shovel_width_mm": "shovel_width",
        "waist_width_mm": "waist_width",
        "tail_width_mm": "tail_width",
        "chord_mm": "chord",
        "declared_radius_m": "radius",
    }
)
WIDTHS: Mapping[Word, str] = MappingProxyType(
    {
        Station.SHOVEL: "shovel_width",
        Station.WAIST: "waist_width",
        Station.TAIL: "tail_width",
    }
)
ALONE: Mapping[Quantity, str] = MappingProxyType(
    {Quantity.CHORD_MM: "chord", Quantity.RADIUS_M: "radius"}
)
REMOVED: Mapping[str, str] = MappingProxyType(
    {
        "edge_height": "edge_height_removed_mm",
        "edge_width": "edge_width_removed_mm",
        "base_thickness": "base_removed_mm",
    }
)


class Respect(NamedTuple):
    """Who states it, and of what: the key of a value among those of one ski."""

    author: str
    what: str
    source: str
    operation: str = ""
    place: str = ""


Values = dict[Respect, int]


def values_of(fold: Fold) -> Values:
    """Give what each shop states of a ski [1/1000 of the unit], by what is in effect.

    Bevels and widths: the latest of each shop. Steel and base: when first seen, whoever saw it,
    and before the work rather than after it. What operations take off: the median of the ski.
    """
    values: Values = {}
    for one in fold.effective:
        values.update(_latest(one))
    return {**values, **_first_seen(fold.effective), **_taken_off(fold.effective)}


def _latest(one: Folded) -> Iterator[tuple[Respect, int]]:
    body, author = one.content.body, one.record.author
    if isinstance(body, DescriptionBody):
        yield from _described(body, author)
    parts = parts_of(body)
    for bevel in parts.bevels:
        yield from _bevels(bevel, author)
    for measurement in parts.measurements:
        yield from _shape(measurement, author)


def _described(body: DescriptionBody, author: str) -> Iterator[tuple[Respect, int]]:
    for field, what in DESCRIBED.items():
        yield from _value(getattr(body, field), Respect(author, what, "described"))


def _bevels(body: BevelSettingBody, author: str) -> Iterator[tuple[Respect, int]]:
    """A stretch of the edge says nothing of the whole ski, so it is left out."""
    if body.station_from_mm is not None:
        return
    for edge in EDGES[body.edge]:
        for what, value in (("base", body.base_bevel_deg), ("side", body.side_bevel_deg)):
            respect = Respect(author, f"{what}_bevel", str(body.basis), place=edge)
            yield from _value(value, respect)


def _shape(body: MeasurementBody, author: str) -> Iterator[tuple[Respect, int]]:
    if body.quantity is Quantity.WIDTH_PROFILE and body.profile:
        points = [point for point in body.profile if isinstance(point, WidthPoint)]
        waist = waist_from_widths(
            [float(point.position_mm) for point in points],
            [float(point.width_mm) for point in points],
        )
        yield Respect(author, "waist_width", "measured"), round(waist.width_mm * 1000)
    what = ALONE.get(body.quantity)
    if body.quantity is Quantity.WIDTH_MM and body.station is not None:
        what = WIDTHS.get(body.station)
    if what is not None:
        yield from _value(body.value, Respect(author, what, "measured"))


def _value(value: Decimal | int | None, respect: Respect) -> Iterator[tuple[Respect, int]]:
    if value is not None:
        yield respect, int(value * 1000)


def _first_seen(effective: Iterable[Folded]) -> Values:
    found: Values = {}
    seen: set[str] = set()
    for one in effective:
        readings = _material(one)
        for what, by_edge in readings.items():
            if what not in seen:
                seen.add(what)
                for edge, values in by_edge.items():
                    respect = Respect(one.record.author, what, "first_seen", place=edge)
                    found[respect] = median_low(values)
    return found


def _material(one: Folded) -> dict[str, dict[str, list[int]]]:
    """Readings of one record by quantity and edge: those after the work only without others."""
    read: dict[str, dict[str, list[int]]] = {}
    bodies = [body for body in parts_of(one.content.body).measurements if body.value is not None]
    for body in sorted(bodies, key=lambda body: body.moment is Moment.AFTER):
        what, edge = MATERIAL.get(body.quantity), str(body.edge or "")
        if what is None or (body.moment is Moment.AFTER and _has_before(bodies, body)):
            continue
        read.setdefault(what, {}).setdefault(edge, []).append(thousandths(body.value) or 0)
    return read


def _has_before(bodies: Iterable[MeasurementBody], after: MeasurementBody) -> bool:
    return any(
        body.moment is not Moment.AFTER
        and (body.quantity, body.edge) == (after.quantity, after.edge)
        for body in bodies
    )


def _taken_off(effective: Iterable[Folded]) -> Values:
    found: defaultdict[Respect, list[int]] = defaultdict(list)
    for one in effective:
        for respect, value in (*_stated(one), *_framed(one)):
            found[respect].append(value)
    return {respect: median_low(values) for respect, values in found.items()}


def _stated(one: Folded) -> Iterator[tuple[Respect, int]]:
    for step in parts_of(one.content.body).steps:
        for what, field in REMOVED.items():
            respect = Respect(one.record.author, what, "stated", _operation(step))
            if respect.operation:
                yield from _value(getattr(step, field), respect)


def _operation(step: Step) -> str:
    """The operation; `other` may be anything, so it is pooled with nothing."""
    return "" if str(step.operation) == "other" else str(step.operation)


def _framed(one: Folded) -> Iterator[tuple[Respect, int]]:
    # By the usual practice, not the shop's own: the index follows from the records alone.
    for pair in removal_pairs([visit_of(one)], Practice()):
        respect = Respect(one.record.author, pair.quantity, "readings", pair.operation)
        if pair.operation != "other":
            yield respect, round(pair.removed_mm * 1000)
