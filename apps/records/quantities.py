"""The quantities that can be measured on a ski: unit, step, range and shape of each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from apps.records.decimals import FixedStep
from apps.records.words import Word

TEXTURE = "ISO 21920-2:2021"
CONDITIONS = "ISO 7796:1985 (measuring conditions)"


class Shape(StrEnum):
    """The field that carries the reading of a quantity."""

    VALUE = "value"
    PROFILE = "profile"
    TRACE = "trace"


class Quantity(Word):
    """What was measured; the name carries the unit."""

    EDGE_HEIGHT_MM = "edge_height_mm", "Thickness of the steel edge, seen from the side face."
    EDGE_WIDTH_MM = "edge_width_mm", "Width of the steel edge, seen from the base."
    BASE_THICKNESS_MM = "base_thickness_mm", "Thickness of the base."
    WIDTH_MM = "width_mm", "Width of the ski at the station or position.", CONDITIONS
    LENGTH_MM = "length_mm", "Length of the ski along its base.", CONDITIONS
    CHORD_MM = "chord_mm", "Straight distance between the widest points of shovel and tail."
    RADIUS_M = "radius_m", "Radius of the sidecut."
    CENTRE_GROOVE_WIDTH_MM = "centre_groove_width_mm", "Width of the centre groove."
    CENTRE_GROOVE_DEPTH_MM = "centre_groove_depth_mm", "Depth of the centre groove."
    CAMBER_MM = "camber_mm", "Height of the unloaded waist above the plane; below zero for rocker."
    EDGE_HARDNESS_HRC = "edge_hardness_hrc", "Rockwell hardness, scale C.", "ISO 6508-1"
    TEXTURE_RA_UM = "texture_ra_um", "Arithmetical mean height of the base texture.", TEXTURE
    TEXTURE_RZ_UM = "texture_rz_um", "Maximum height of the base texture.", TEXTURE
    BASE_GAP_PROFILE = "base_gap_profile", "Gaps of light under a true bar across the base."
    WIDTH_PROFILE = "width_profile", "Widths at several places along the ski."
    TEXTURE_TRACE = "texture_trace", "Heights along a line over the base texture.", TEXTURE
    OTHER = "other", "Another quantity; `quantity_text` and `unit_text` say which."


@dataclass(frozen=True, slots=True)
class QuantitySpec:
    """How one quantity is written down.

    Parameters
    ----------
    shape : Shape
        The field that carries the reading.
    step : FixedStep or None
        Step, range and unit of a single value; None for the list quantities.
    uncertainty : FixedStep
        Step, range and unit of the expanded uncertainty (k = 2) of one value.
    needs_edge : bool
        Whether a reading without its edge would mean nothing.
    """

    shape: Shape
    step: FixedStep | None
    uncertainty: FixedStep
    needs_edge: bool = False


def _value(step: str, low: str, high: str, unit: str, *, needs_edge: bool = False) -> QuantitySpec:
    value = FixedStep(step, low, high, unit)
    return QuantitySpec(Shape.VALUE, value, FixedStep(step, "0", high, unit), needs_edge)


def _listed(shape: Shape, step: str, high: str, unit: str) -> QuantitySpec:
    return QuantitySpec(shape, None, FixedStep(step, "0", high, unit))


QUANTITIES: Mapping[Quantity, QuantitySpec] = MappingProxyType(
    {
        Quantity.EDGE_HEIGHT_MM: _value("0.001", "0.000", "3.000", "mm", needs_edge=True),
        Quantity.EDGE_WIDTH_MM: _value("0.001", "0.000", "5.000", "mm", needs_edge=True),
        Quantity.BASE_THICKNESS_MM: _value("0.001", "0.000", "3.000", "mm"),
        Quantity.WIDTH_MM: _value("0.1", "30.0", "250.0", "mm"),
        Quantity.LENGTH_MM: _value("1", "300", "2600", "mm"),
        Quantity.CHORD_MM: _value("1", "200", "2500", "mm"),
        Quantity.RADIUS_M: _value("0.1", "3.0", "80.0", "m"),
        Quantity.CENTRE_GROOVE_WIDTH_MM: _value("0.1", "0.0", "20.0", "mm"),
        Quantity.CENTRE_GROOVE_DEPTH_MM: _value("0.01", "0.00", "5.00", "mm"),
        Quantity.CAMBER_MM: _value("0.1", "-20.0", "60.0", "mm"),
        Quantity.EDGE_HARDNESS_HRC: _value("0.5", "10.0", "75.0", "HRC"),
        Quantity.TEXTURE_RA_UM: _value("0.01", "0.00", "500.00", "um"),
        Quantity.TEXTURE_RZ_UM: _value("0.01", "0.00", "500.00", "um"),
        Quantity.BASE_GAP_PROFILE: _listed(Shape.PROFILE, "1", "5000", "um"),
        Quantity.WIDTH_PROFILE: _listed(Shape.PROFILE, "0.1", "250.0", "mm"),
        Quantity.TEXTURE_TRACE: _listed(Shape.TRACE, "0.01", "500.00", "um"),
        Quantity.OTHER: _value("0.001", "-1000000.000", "1000000.000", ""),
    }
)
