"""Length, widths and turn radius of a ski, each with where it comes from and how sure it is."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from apps.api.answers.base import AnswerModel
from apps.api.answers.figures import Factor, FineMetres, Ids, Metres, Millimetres, WidthMillimetres
from apps.records.primitives import RecordId

LOW = "Lower limit [m]."
HIGH = "Upper limit [m]; absent where even a straight edge lies within the uncertainty."


class WidthAnswer(AnswerModel):
    """A width or chord, and where it comes from."""

    value_mm: WidthMillimetres = Field(description="The value [mm].")
    expanded_uncertainty_mm: WidthMillimetres = Field(
        description="k = 2 [mm]; as recorded, else by practice, or half a step of the print."
    )
    source: Literal["measured", "described", "computed"] = Field(
        description="Measured by a bench; as a description says; or found in a row of widths."
    )
    method: str | None = Field(default=None, description="How it was computed.")
    record: RecordId = Field(description="The record it rests on.")


class RadiusAnswer(AnswerModel):
    """A turn radius by one method; the same ski has different radii by different methods."""

    radius_m: Metres = Field(description="Radius of the sidecut [m].")
    low_m: Metres | None = Field(
        default=None, description=f"{LOW} Absent where nobody stated how sure the radius is."
    )
    high_m: Metres | None = Field(default=None, description=HIGH)
    method: str = Field(
        description="`measured`, `declared`, `chord`, `exact-chord` or `least-squares`."
    )
    residual_rms_mm: Millimetres | None = Field(
        default=None, description="Distance of the widths from the circle [mm], for a fit only."
    )
    rests_on: Ids


class UnknownRadius(AnswerModel):
    """Why a method gives no radius here."""

    method: str = Field(description="The method.")
    sentence: str = Field(description="What is missing or at odds.")


class ArcAnswer(AnswerModel):
    """One stretch of the edge and its circle."""

    from_mm: int = Field(description="First width of it [mm from the tail].")
    to_mm: int = Field(description="Last width of it [mm from the tail].")
    radius_m: Metres | None = Field(
        default=None, description="Radius [m]; absent where the stretch is straight or bulges."
    )
    low_m: Metres | None = Field(default=None, description=LOW)
    high_m: Metres | None = Field(default=None, description=HIGH)
    residual_rms_mm: Millimetres | None = Field(
        default=None, description="Distance of the half widths from the circle [mm]."
    )


class SidecutFormAnswer(AnswerModel):
    """How many radii the latest row of widths shows."""

    form: Literal["one-radius", "several-radii", "no-arcs"] = Field(
        description="`several-radii`: a single radius is the wrong word for this ski; `no-arcs`: "
        "not even three arcs lie as near to the widths as their uncertainty asks."
    )
    arcs: list[ArcAnswer] = Field(
        description="From the tail to the tip: the least number of arcs that explains the widths."
    )
    width_uncertainty_mm: Millimetres = Field(
        description="Expanded uncertainty of one width (k = 2) [mm] that the judgement rests on, "
        "with the rounding of the record in it."
    )
    coverage_factor: Factor = Field(
        description="k of the limits of the one circle through all widths [1]."
    )
    sentence: str = Field(description="For a person.")
    method: str = Field(description="How it was found.")
    rests_on: Ids


class RadiusComparisonAnswer(AnswerModel):
    """The declared radius beside one that was found."""

    method: str = Field(description="The way the other was found.")
    difference_m: Metres = Field(description="Found less declared [m].")
    normalized_error: Factor | None = Field(
        default=None,
        description="Difference over both uncertainties together [1]; absent where the found "
        "radius has no limit on that side.",
    )
    agrees: bool = Field(description="True up to 1.")


class DeclaredRadiusAnswer(AnswerModel):
    """The declared radius beside all that were found, and which way it is comparable with."""

    declared_m: Metres = Field(description="As printed [m].")
    half_step_m: FineMetres = Field(description="Half a step of its print [m]: 0.50 or 0.05.")
    comparisons: list[RadiusComparisonAnswer] = Field(description="One for each way.")
    nearest: str | None = Field(
        default=None, description="The way that lies nearest; absent where there is none."
    )
    comparable_with: str = Field(
        description="Which ways a declared radius may be held against, and which not."
    )
    sentence: str = Field(description="For a person.")
    rests_on: Ids


class ShapeAnswer(AnswerModel):
    """Widths and turn radius; measured values stand before described ones."""

    shovel: WidthAnswer | None = Field(default=None, description="Widest place of the front.")
    waist: WidthAnswer | None = Field(default=None, description="Narrowest place.")
    tail: WidthAnswer | None = Field(default=None, description="Widest place of the rear.")
    chord: WidthAnswer | None = Field(
        default=None, description="Straight distance between the widest points."
    )
    radii: list[RadiusAnswer] = Field(description="Every radius that can be told.")
    unknown: list[UnknownRadius] = Field(description="Methods that give none, and why.")
    sidecut: SidecutFormAnswer | None = Field(
        default=None, description="Absent where no row of widths was measured that can be read."
    )
    declared: DeclaredRadiusAnswer | None = Field(
        default=None, description="Absent where the description declares no radius."
    )
